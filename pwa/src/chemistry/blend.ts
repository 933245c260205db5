// Tank, cans and pump: the content of a mixture, and what to add to reach a content. Counterpart of chemistry/blend.py.

export const NINETY_TO_NINETY_FIVE = 1.959964 / 1.644854;

export type Outcome = "reached" | "already_there" | "no_stock_beyond" | "not_enough_room" | "not_enough_stock";

/** A volume of fuel: litres +- litres, content % (V/V) +- %, uncertainties expanded (95 %). */
export interface Part {
  readonly volume: number;
  readonly content: number;
  readonly expanded_uncertainty: number;
  readonly volume_uncertainty: number;
}

/** What to add from each stock, in litres, and the tank afterwards. */
export interface Plan {
  readonly outcome: Outcome;
  readonly additions: readonly number[];
  readonly blend: Part;
}

/** Return the mixture of parts; at least one must have a volume. */
export function mix(parts: readonly Part[]): Part {
  const volume = sum(parts.map((part) => part.volume));
  const content = sum(parts.map((part) => part.volume * part.content)) / volume;
  const variance = sum(
    parts.map(
      (part) =>
        ((part.volume / volume) * part.expanded_uncertainty) ** 2 +
        (((part.content - content) / volume) * part.volume_uncertainty) ** 2,
    ),
  );
  const volume_uncertainty = Math.sqrt(sum(parts.map((part) => part.volume_uncertainty ** 2)));
  return { volume, content, expanded_uncertainty: Math.sqrt(variance), volume_uncertainty };
}

/** Return the smallest addition that brings the tank to `target` %, using the strongest stock that helps first. */
export function reach(tank: Part, room: number, target: number, stocks: readonly Part[]): Plan {
  if (tank.volume === 0) return from_empty(tank, room, target, stocks);
  const additions = stocks.map(() => 0);
  if (Math.abs(tank.content - target) < 1e-9) return { outcome: "already_there", additions, blend: tank };
  const rising = tank.content < target;
  const helping = by_content(stocks, rising).filter((i) => {
    const content = (stocks[i] as Part).content;
    return content > target === rising && content !== target;
  });
  if (helping.length === 0) return { outcome: "no_stock_beyond", additions, blend: tank };
  let outcome: Outcome = "not_enough_stock";
  for (const i of helping) {
    const stock = stocks[i] as Part;
    const now = with_additions(tank, stocks, additions);
    const wanted = (now.volume * (target - now.content)) / (stock.content - target);
    const left = room - sum(additions);
    additions[i] = Math.min(wanted, stock.volume, left);
    if (additions[i] === wanted) {
      outcome = "reached";
      break;
    }
    if (additions[i] === left) {
      outcome = "not_enough_room";
      break;
    }
  }
  return { outcome, additions, blend: with_additions(tank, stocks, additions) };
}

/** Return how to split an addition of `addition` litres between two stocks so that the tank reaches `target` %. */
export function fill(tank: Part, addition: number, target: number, first: Part, second: Part): Plan {
  if (first.content === second.content) return reach(tank, addition, target, [first, second]);
  const total = tank.volume + addition;
  const needed = total * target - tank.volume * tank.content - addition * second.content;
  const wanted = needed / (first.content - second.content);
  let share = Math.min(Math.max(wanted, 0), addition);
  let outcome: Outcome = share === wanted ? "reached" : "no_stock_beyond";
  if (share > first.volume || addition - share > second.volume) {
    outcome = "not_enough_stock";
    share = Math.min(Math.max(share, addition - second.volume), first.volume);
  }
  const additions = [share, Math.min(addition - share, second.volume)];
  return { outcome, additions, blend: with_additions(tank, [first, second], additions) };
}

/** Return what was in the tank before, from what is in it now and what was added. */
export function heel(whole: Part, added: readonly Part[]): Part {
  const volume = whole.volume - sum(added.map((part) => part.volume));
  const content = (whole.volume * whole.content - sum(added.map((part) => part.volume * part.content))) / volume;
  const variance =
    (whole.volume * whole.expanded_uncertainty) ** 2 +
    ((whole.content - content) * whole.volume_uncertainty) ** 2 +
    sum(
      added.map(
        (part) =>
          (part.volume * part.expanded_uncertainty) ** 2 + ((part.content - content) * part.volume_uncertainty) ** 2,
      ),
    );
  const volume_uncertainty = Math.sqrt(
    whole.volume_uncertainty ** 2 + sum(added.map((part) => part.volume_uncertainty ** 2)),
  );
  return { volume, content, expanded_uncertainty: Math.sqrt(variance) / volume, volume_uncertainty };
}

/** Return whether a part is possible: some volume, and a content within 0..100 % give or take its uncertainty. */
export function possible(part: Part): boolean {
  const { volume, content, expanded_uncertainty } = part;
  return volume > 0 && -expanded_uncertainty <= content && content <= 100 + expanded_uncertainty;
}

/** Return `volume` litres of a source's next fill, from its typical content and its 90 % interval, in %. */
export function next_fill_part(typical: number, next_fill: readonly [number, number], volume: number): Part {
  const half = Math.max(next_fill[1] - typical, typical - next_fill[0]);
  return { volume, content: typical, expanded_uncertainty: half * NINETY_TO_NINETY_FIVE, volume_uncertainty: 0 };
}

function from_empty(tank: Part, room: number, target: number, stocks: readonly Part[]): Plan {
  const additions = stocks.map(() => 0);
  const order = by_content(stocks, false);
  const weakest = order[0];
  const strongest = order.at(-1);
  if (weakest === undefined || strongest === undefined) return { outcome: "no_stock_beyond", additions, blend: tank };
  const low = stocks[weakest] as Part;
  const high = stocks[strongest] as Part;
  if (!(low.content <= target && target <= high.content)) return { outcome: "no_stock_beyond", additions, blend: tank };
  if (weakest === strongest) {
    additions[weakest] = Math.min(room, low.volume);
    return { outcome: "reached", additions, blend: with_additions(tank, stocks, additions) };
  }
  const plan = fill(tank, room, target, high, low);
  additions[strongest] = plan.additions[0] as number;
  additions[weakest] = plan.additions[1] as number;
  return { outcome: plan.outcome, additions, blend: plan.blend };
}

function by_content(stocks: readonly Part[], descending: boolean): number[] {
  const direction = descending ? -1 : 1;
  return stocks
    .map((_, i) => i)
    .sort((a, b) => direction * ((stocks[a] as Part).content - (stocks[b] as Part).content));
}

function with_additions(tank: Part, stocks: readonly Part[], additions: readonly number[]): Part {
  const used = stocks.flatMap((stock, i) => {
    const volume = additions[i] as number;
    return volume > 0 ? [{ ...stock, volume, volume_uncertainty: 0 }] : [];
  });
  return tank.volume > 0 || used.length > 0 ? mix([tank, ...used]) : tank;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
