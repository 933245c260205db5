/** How the test works, in five pictures with cautions: shown before the first test, linked from Test and Log. */

import "./method.css";
import { labels } from "../../../i18n";
import { go } from "../../../state/router";
import { writeFact } from "../../../store/settings";
import { CautionBox } from "../../../widgets/caution-box";
import { PICTURES } from "./pictures";

export default function Method() {
  const words = labels.method;
  const leave = () =>
    void writeFact("method_seen", true).then(() => {
      go(["test"]);
      document.getElementById("content")?.focus();
    });
  return (
    <article class="form">
      <header class="method-head">
        <h1>{words.title}</h1>
        <button type="button" class="plain" onClick={leave}>
          {words.skip}
        </button>
      </header>
      <p>{words.lead}</p>
      <ol class="method-steps">
        {words.steps.map((step, index) => {
          const Drawn = PICTURES[index];
          return (
            <li key={step.title}>
              {Drawn && <Drawn />}
              <div>
                <h2>{step.title}</h2>
                <p>{step.text}</p>
              </div>
            </li>
          );
        })}
      </ol>
      <p>{words.result}</p>
      <CautionBox title={labels.test.before.caution} points={labels.test.before.points} />
      <CautionBox title={labels.test.after.caution} points={labels.test.after.points} />
      <button type="button" class="main stays" onClick={leave}>
        {words.begin}
      </button>
    </article>
  );
}
