/** The words of the page that explains the test in five pictures. */
export const method = {
  title: "How a test is made",
  lead: "Water takes the ethanol out of the fuel. So the layer below grows, and the line between the layers says how much ethanol there was.",
  skip: "Skip",
  begin: "To the run sheet",
  open: "How a test is made",
  steps: [
    {
      title: "Take the sample outdoors",
      text: "The can stands on the ground, the nozzle touches it. No flame, no charger, no running engine.",
    },
    { title: "Water to its mark", text: "Eye level with the mark. The lowest point of the surface counts." },
    { title: "Fuel on top, to its mark", text: "Pour slowly. Note the temperature in the tube." },
    {
      title: "Close, turn over ten times, vent",
      text: "Slowly and fully. Then open it a little, away from the face: pressure has built up.",
    },
    {
      title: "Let it settle, read the line",
      text: "Ten minutes upright, then eye level with the line where the layers part. Two runs, then the result.",
    },
  ],
  result:
    "A printed scale can be 6 points off, because ethanol and water shrink when they mix. The app works out the content and how sure it is.",
};
