/** The engine's figures at a content, as a list, and folded. */

import { engine_figures, type Figure } from "../../chemistry/fuels";
import { labels } from "../../i18n";
import { number, withUncertainty } from "../../i18n/format";
import { settings } from "../../state/signals";

interface EngineProps {
  content: number;
  uncertainty: number;
}

export function EngineList(props: EngineProps) {
  return (
    <details class="more">
      <summary>{labels.fuel.engine.title}</summary>
      <EngineFigures {...props} />
    </details>
  );
}

export function EngineFigures({ content, uncertainty }: EngineProps) {
  const words = labels.fuel.engine;
  const found = engine_figures(content, uncertainty);
  const heat = settings.value.volume_unit === "gal" ? found.heating_value_per_gallon : found.heating_value;
  const heatText =
    settings.value.volume_unit === "gal"
      ? whole(heat, words.perGallon)
      : withUncertainty(heat.value, heat.expanded_uncertainty, words.perLitre);
  const rows: [string, string][] = [
    [words.stoichiometric_ratio, written(found.stoichiometric_ratio, words.ratioUnit)],
    [words.flow_ratio, written(found.flow_ratio, words.flowUnit)],
    [words.density, fine(found.density, words.densityUnit)],
    [words.heating_value, heatText],
  ];
  return (
    <>
      <p class="hint">{words.hint}</p>
      <dl class="pairs">
        {rows.map(([term, value]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
    </>
  );
}

function written(figure: Figure, unit: string): string {
  return withUncertainty(figure.value, figure.expanded_uncertainty, unit);
}

/** Three decimals, for a density in kg/L. */
function fine(figure: Figure, unit: string): string {
  return labels.parts.plusMinus(number(figure.value, 3), number(figure.expanded_uncertainty, 3), unit);
}

function whole(figure: Figure, unit: string): string {
  return labels.parts.plusMinus(number(figure.value, 0), number(figure.expanded_uncertainty, 0), unit);
}
