/** The words for marking a tube in a photo. */
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
