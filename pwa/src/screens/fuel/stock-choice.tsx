/** The fuels available for a blend: the cans, pumps of known sources, and one fuel from elsewhere. */

import { useMemo, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { volume as litres, pair, withUncertainty } from "../../i18n/format";
import { canStock, otherStock, pumpStock, type Stock } from "../../model/tank";
import type { CanRow } from "../../rows/can";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { settings } from "../../state/signals";
import { SwitchField } from "../../widgets/fields";
import { SourceChoice } from "../shared/source/source-choice";
import { ContentFields } from "./content-fields";

export interface AvailableStocks {
  offered: readonly Stock[];
  /** The ones to use. */
  used: readonly Stock[];
  use: (key: string, used: boolean) => void;
  /** The pump added last. */
  pump: string | null;
  addPump: (source: string) => void;
  other: { content: number | null; uncertainty: number | null };
  setOther: (part: { content?: number | null; uncertainty?: number | null }) => void;
}

export function useStocks(cans: readonly CanRow[]): AvailableStocks {
  const figures = useStored(usePage().figures.read, ["figures"]);
  const [left, setLeft] = useState<readonly string[]>([]);
  const [pumps, setPumps] = useState<readonly string[]>([]);
  const [other, setOther] = useState<AvailableStocks["other"]>({ content: null, uncertainty: null });
  const offered = useMemo(() => {
    const pumped = pumps.map((pump) => figures?.find((row) => row.source === pump));
    const found = [
      ...cans.map(canStock),
      ...pumped.map((row) => (row ? pumpStock(row) : null)),
      otherStock(labels.fuel.reach.otherName, other.content, other.uncertainty),
    ];
    return found.filter((one) => one !== null);
  }, [cans, figures, pumps, other]);
  return {
    offered,
    used: offered.filter((stock) => !left.includes(stock.key)),
    use: (key, used) => setLeft(used ? left.filter((one) => one !== key) : [...left, key]),
    pump: pumps.at(-1) ?? null,
    addPump: (source) => {
      setLeft(left.filter((one) => one !== source));
      if (!pumps.includes(source)) setPumps([...pumps, source]);
    },
    other,
    setOther: (part) => setOther({ ...other, ...part }),
  };
}

export function StockChoice({ hand, missing }: { hand: AvailableStocks; missing: string | null }) {
  const words = labels.fuel.reach;
  const { offered, used, other } = hand;
  return (
    <section class="form" aria-label={words.stocks}>
      <h2>{words.stocks}</h2>
      {offered.length > 0 && (
        <div>
          {offered.map((stock) => (
            <SwitchField
              key={stock.key}
              label={pair(stock.name, withUncertainty(stock.part.content, stock.part.expanded_uncertainty))}
              hint={stock.kind === "can" ? words.can(litres(stock.part.volume, settings.value)) : words[stock.kind]}
              checked={used.includes(stock)}
              onChecked={(on) => hand.use(stock.key, on)}
            />
          ))}
        </div>
      )}
      <details class="more">
        <summary>{words.addPump}</summary>
        <SourceChoice chosen={hand.pump} onChosen={hand.addPump} tested />
      </details>
      <details class="more">
        <summary>{words.addOther}</summary>
        <ContentFields
          content={other.content}
          uncertainty={other.uncertainty}
          onContent={(content) => hand.setOther({ content })}
          onUncertainty={(uncertainty) => hand.setOther({ uncertainty })}
          tried
        />
      </details>
      {missing && <p role="status">{missing}</p>}
    </section>
  );
}
