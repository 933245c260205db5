/** Labels of the page that explains the test in five pictures. */
export const method = {
  title: "How to run a test",
  lead: "Water takes the ethanol out of the fuel. The lower layer grows; the line between the layers shows how much ethanol there was.",
  skip: "Skip",
  begin: "Start a test",
  open: "How to run a test",
  steps: [
    {
      title: "Take the sample outdoors",
      text: "Put the can on the ground and keep the nozzle touching it. No flame, no charger, no running engine.",
    },
    { title: "Water to its mark", text: "Eye level with the mark; read the bottom of the curve (meniscus)." },
    { title: "Fuel on top, to its mark", text: "Pour slowly. Note the temperature in the tube." },
    {
      title: "Close, invert ten times, vent",
      text: "Slowly and fully. Then open it a little, away from your face: pressure has built up.",
    },
    {
      title: "Let it settle, read the line",
      text: "Ten minutes upright. Then read the line between the layers at eye level. Two runs give your result.",
    },
  ],
  result:
    "A printed scale can be 6 points off, because ethanol and water shrink when they mix. The app works out the content and how certain it is.",
};
