/** A tube, described once: the meaning of its scale, its two marks, its smallest step. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { mL } from "../../i18n/format";
import { BRINE_SCALES, LIQUIDS, type Liquid, SCALES, type Scale } from "../../records";
import type { TubeRow } from "../../rows/tube";
import type { TubeEntry } from "../../store/tubes";
import { ActButton } from "../../widgets/act-button";
import { ChoiceRow } from "../../widgets/choice-row";
import { TextField } from "../../widgets/fields";
import { NumberField } from "../../widgets/number-field";

export interface TubeFormProps {
  row: TubeRow | null;
  onSave: (entry: TubeEntry) => void;
  /** Omitted if there is nothing to go back to. */
  onBack?: (() => void) | undefined;
}

const MOST_ML = 2000;

export function TubeForm({ row, onSave, onBack }: TubeFormProps) {
  const words = labels.test.tubeForm;
  const [scale, setScale] = useState<Scale | null>(row?.scale ?? null);
  const [waterMark, setWaterMark] = useState<number | null>(row?.water_mark ?? 50);
  const [fuelMark, setFuelMark] = useState<number | null>(row?.fuel_mark ?? 100);
  const [graduation, setGraduation] = useState<number | null>(row?.graduation ?? 1);
  const [liquid, setLiquid] = useState<Liquid>(row?.liquid ?? "water");
  const [tolerance, setTolerance] = useState<number | null>(row?.tolerance ?? null);
  const [name, setName] = useState(row?.name ?? "");

  const marksFault = waterMark !== null && fuelMark !== null && fuelMark <= waterMark ? words.fuelMarkFault : undefined;
  const brineFault = liquid === "brine" && scale !== null && !(BRINE_SCALES as readonly string[]).includes(scale);
  const complete = scale && waterMark && fuelMark && graduation && !marksFault && !brineFault;
  const missing = complete ? null : brineFault ? words.brineScale : (marksFault ?? words.missing);
  const save = () => {
    if (!complete) return;
    onSave({
      name: name.trim() || words.nameOffered(mL(fuelMark, 0)),
      scale,
      graduation,
      liquid,
      tolerance,
      water_mark: waterMark,
      fuel_mark: fuelMark,
    });
  };
  return (
    <form
      class="form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      <ChoiceRow
        tall
        legend={words.scaleAsk}
        value={scale}
        onValue={setScale}
        options={SCALES.map((value) => ({ value, ...labels.scales[value] }))}
      />
      {scale && (
        <>
          <div class="form-pair">
            <NumberField
              label={words.waterMark}
              unit="mL"
              value={waterMark}
              onValue={setWaterMark}
              step={5}
              min={0.5}
              max={MOST_ML}
              hint={words.waterMarkHint}
            />
            <NumberField
              label={words.fuelMark}
              unit="mL"
              value={fuelMark}
              onValue={setFuelMark}
              step={5}
              min={1}
              max={MOST_ML}
              hint={words.fuelMarkHint}
              fault={marksFault}
            />
          </div>
          <NumberField
            label={words.graduation}
            unit={scale === "volume" ? "mL" : "%"}
            value={graduation}
            onValue={setGraduation}
            step={0.5}
            min={0.05}
            max={50}
          />
          <ChoiceRow
            legend={words.liquidAsk}
            value={liquid}
            onValue={setLiquid}
            options={LIQUIDS.map((value) => ({ value, label: words.liquid[value] }))}
            hint={liquid === "brine" ? words.brineHint : undefined}
          />
          {brineFault && (
            <p class="fault" role="alert">
              {words.brineScale}
            </p>
          )}
          <details class="more">
            <summary>{words.finer}</summary>
            <div class="form">
              <TextField label={words.name} value={name} onValue={setName} maxLength={40} hint={words.nameHint} />
              <NumberField
                label={words.tolerance}
                unit="mL"
                value={tolerance}
                onValue={setTolerance}
                step={0.1}
                min={0}
                max={50}
                offered={0}
                hint={words.toleranceHint}
              />
            </div>
          </details>
          <ActButton main missing={missing}>
            {words.save}
          </ActButton>
        </>
      )}
      {onBack && (
        <button type="button" class="plain" onClick={onBack}>
          {words.back}
        </button>
      )}
    </form>
  );
}

export default TubeForm;
