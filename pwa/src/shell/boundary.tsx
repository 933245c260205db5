/** Catches an error in one place, so that the others and all saved data remain reachable. */

import { Component, type ComponentChildren } from "preact";
import { labels } from "../i18n";
import { to } from "../state/router";
import { trouble } from "../store/open";

interface Props {
  children: ComponentChildren;
  /** Shows nothing if it fails: for secondary parts of a place. */
  quiet?: boolean;
  /** The address: a new one is tried again. */
  at?: string;
}

export class Boundary extends Component<Props, { fault: unknown }> {
  override state = { fault: null as unknown };

  static override getDerivedStateFromError(fault: unknown) {
    return { fault };
  }

  override componentDidUpdate(before: Props) {
    if (before.at !== this.props.at && this.state.fault !== null) this.setState({ fault: null });
  }

  override componentDidCatch(fault: unknown) {
    console.error(fault);
  }

  override render() {
    if (this.state.fault === null) return this.props.children;
    if (this.props.quiet) return null;
    const { faultTitle, faultBody, faultAgain, faultRepair } = labels.common;
    return (
      <section role="alert" class="form">
        <h1>{faultTitle}</h1>
        <p>{faultBody}</p>
        {trouble.value === null && <p class="hint">{String(this.state.fault)}</p>}
        <div class="buttons">
          <button type="button" onClick={() => this.setState({ fault: null })}>
            {faultAgain}
          </button>
          {trouble.value === null && (
            <a class="button" href={to("repair")}>
              {faultRepair}
            </a>
          )}
        </div>
      </section>
    );
  }
}
