/** A part whose program is loaded when it is first shown; the worker has it ready, so this works offline. */

import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { labels } from "../labels";
import { Waiting } from "../parts/waiting";

export interface ScreenProps {
  path: string[];
}

export type Screen = ComponentType<ScreenProps>;

/** A component that loads the default export of a module once. A failed load reaches the error boundary. */
export function later<Props extends object = ScreenProps>(
  load: () => Promise<{ default: ComponentType<Props> }>,
): ComponentType<Props> {
  let loaded: ComponentType<Props> | null = null;
  return function Later(props: Props) {
    const [Found, setFound] = useState<ComponentType<Props> | null>(() => loaded);
    const [fault, setFault] = useState<unknown>(null);
    useEffect(() => {
      if (loaded !== null) return;
      load().then((module) => {
        loaded = module.default;
        setFound(() => module.default);
      }, setFault);
    }, []);
    if (fault !== null) throw fault;
    return Found === null ? <Waiting word={labels.common.opening} /> : <Found {...props} />;
  };
}
