// Near a border the user is asked once, with the regions that the server named.
import { candidatesOf } from "@/screens/shared/source/region-candidates";
import { waitingNote } from "@/store/outbox";
import { addSource, editSource, listSources } from "@/store/sources";
import { entry, NOW } from "../../../helpers/examples";

const asked = { code: "region_uncertain", field: "subdivision", value: "FR-63", limit: "FR-15, FR-43", sentence: "" };
const source = {
  own: true,
  subdivision: null,
  sync: { ...waitingNote("sent"), problems: [asked], revision: 1 },
};

describe("the regions to choose from", () => {
  it("are the one the server took and its neighbours", () => {
    expect(candidatesOf(source)).toEqual(["FR-63", "FR-15", "FR-43"]);
  });

  it("are empty after an answer, for other people's sources, and before the server's reply", () => {
    expect(candidatesOf({ ...source, subdivision: "FR-15" })).toEqual([]);
    expect(candidatesOf({ ...source, own: false })).toEqual([]);
    expect(candidatesOf({ ...source, sync: null })).toEqual([]);
    expect(candidatesOf({ ...source, sync: { ...source.sync, state: "waiting" } })).toEqual([]);
    expect(candidatesOf({ ...source, sync: { ...source.sync, problems: [] } })).toEqual([]);
  });

  it("are empty if the reply names no subdivision", () => {
    const at = (value: string, limit: string) => ({
      ...source,
      sync: { ...source.sync, problems: [{ ...asked, value, limit }] },
    });
    expect(candidatesOf(at("AD", ""))).toEqual([]);
    expect(candidatesOf(at("", ""))).toEqual([]);
    expect(candidatesOf(at("FR-63", "ES"))).toEqual([]);
  });

  it("create a new revision of the source when one is chosen", async () => {
    const id = await addSource(entry(), true, NOW);
    await editSource(id, { subdivision: "FR-15" });
    const row = (await listSources()).find((one) => one.id === id);
    expect(row).toMatchObject({ subdivision: "FR-15", revision: 2, sync: { state: "waiting" } });
  });
});
