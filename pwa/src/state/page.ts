/** The objects with state that live as long as a page: main.tsx makes them, and components get them here. */

import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { Compute } from "../compute";
import type { Alarm } from "./alarm";
import type { ClockWatch } from "./clock-watch";
import type { FigureList } from "./figure-list";
import type { Live } from "./live";
import type { Sheets } from "./sheets";

export interface Page {
  live: Live;
  clock: ClockWatch;
  sheets: Sheets;
  figures: FigureList;
  alarm: Alarm;
  compute: Compute;
  /** Exchanges with the server at once; resolves when that is over. */
  exchangeNow: () => Promise<void>;
}

const Given = createContext<Page | null>(null);

export const PageProvider = Given.Provider;

export function usePage(): Page {
  const page = useContext(Given);
  if (page === null) throw new Error("shown outside of a page");
  return page;
}
