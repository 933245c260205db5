/** A screen whose program is loaded when it is first opened; the worker has it ready, so this works offline. */

import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { labels } from "../labels";

export interface ScreenProps {
  path: string[];
}

export type Screen = ComponentType<ScreenProps>;

/** A component that loads the default export of a module once. A failed load reaches the error boundary. */
export function later(load: () => Promise<{ default: Screen }>): Screen {
  let loaded: Screen | null = null;
  return function Later({ path }: ScreenProps) {
    const [Found, setFound] = useState<Screen | null>(() => loaded);
    const [fault, setFault] = useState<unknown>(null);
    useEffect(() => {
      if (loaded !== null) return;
      load().then((module) => {
        loaded = module.default;
        setFound(() => module.default);
      }, setFault);
    }, []);
    if (fault !== null) throw fault;
    return Found === null ? <p role="status">{labels.common.opening}</p> : <Found path={path} />;
  };
}
