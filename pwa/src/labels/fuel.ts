/** The words of the Fuel place. */
export const fuel = {
  title: "Fuel",
};
