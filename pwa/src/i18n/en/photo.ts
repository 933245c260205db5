/** Labels for marking a tube in a photo. */
export const photo = {
  title: "Mark the tube in the photo",
  hint: "Drag each cross to its place on the tube's axis, or choose one and move it with the arrows.",
  marks: {
    bottom: "Bottom mark",
    water: "Water mark",
    fuel: "Fuel mark",
    line: "Parting line",
  },
  choose: "Which mark",
  up: "Up",
  down: "Down",
  left: "Left",
  right: "Right",
  nudge: (mark: string, way: string) => `${mark}: ${way.toLowerCase()}`,
  at: (mark: string, x: string, y: string) => `${mark}, ${x} across, ${y} down`,
  bottomVolume: "Volume at the bottom mark",
  suggest: "Find the line",
  searching: "Looking for the line…",
  noClearLine:
    "No clear line in this photo. Let it settle longer, or take the photo against a bright, even background.",
  suggestHint: "Put the water mark and the fuel mark in place first; the app looks between them.",
  suggested: "Found. Check that the cross is on the line, and move it if not.",
  reads: (volume: string, half: string) => `The photo gives ${volume} ± ${half}.`,
  take: "Take this reading",
  back: "Leave the photo unmarked",
  unreadable: "This photo cannot be shown. Take another one.",
};

/** Labels for the camera with the outline of a tube. */
export const guide = {
  open: "Photo with a guide",
  title: "Photo with a guide",
  picture: "What the camera sees, with the outline of the tube over it",
  hint: (bottom: string, water: string, fuel: string) =>
    `Hold the phone level, at the height of the line, with the three strokes on ${bottom}, ${water} and ${fuel}.`,
  torch: "Light",
  narrower: "Narrower",
  wider: "Wider",
  take: "Take the photo",
  back: "Close the camera",
  refused:
    "The camera cannot be used here. Take a photo with the button below, or allow the camera in the browser's settings.",
  line: "The line, magnified",
  mark: (volume: string) => `The mark at ${volume}, magnified`,
  look: "Check that the bars are on the line, and below on the marks.",
  fitted: "The marks were fitted to the printed scale.",
  check:
    "Check the marks: the app could not read the printed scale. If one is not between its bars, set the marks by hand.",
  use: "Use this reading",
  useHeld: "The marks are right: use this reading",
  byHand: "Set the marks by hand",
  again: "Take it again",
  leave: "Keep the photo, read by eye",
};

/** Labels for how level the phone is held. */
export const level = {
  ask: "Show how level the phone is",
  level: "Level",
  held: (tilt: string, up: boolean, turned: string) =>
    `Camera looks ${tilt}° ${up ? "up" : "down"}, turned by ${turned}°`,
};
