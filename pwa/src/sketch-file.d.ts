/** What build/sketch.mjs writes before the app is built. */
declare module "@built/sketch.json" {
  const written: {
    scale: number;
    digits: string;
    codes: string;
    names: string;
    regions: string;
    lengths: string;
    arcs: string;
  };
  export default written;
}
