/** What a browser asks with when it would put the pages on the device's own screen; no types of the platform know it. */
interface InstallEvent extends Event {
  prompt: () => Promise<unknown>;
}

/** Kept when somebody signs out: it is about the device. */
const KEY = 'install';

let offered: InstallEvent | null = null;
let changed: () => void = () => undefined;

/** Listens for the browser's question from the first moment: it comes once, and may come before any screen. */
export const noticeInstall = (): void => {
  addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault();
    offered = event as InstallEvent;
    changed();
  });
  addEventListener('appinstalled', () => {
    offered = null;
    changed();
  });
};

/**
 * How this device could keep the pages as an app: `ask`, when the browser has a question for it; `by-hand`, on an iPhone or
 * iPad, which has none; null when it cannot, has done it, or was told not to ask again.
 */
export const installWay = (): 'ask' | 'by-hand' | null => {
  if (localStorage.getItem(KEY) === 'no') return null;
  if (matchMedia('(display-mode: standalone)').matches) return null;
  if (offered) return 'ask';
  // Only Apple's browsers say whether a page was opened from the home screen.
  const { standalone } = navigator as Navigator & { standalone?: boolean };
  return standalone === false && navigator.maxTouchPoints > 1 ? 'by-hand' : null;
};

/** Calls `listener` when the way may have changed, until the answer is called. One listener at a time. */
export const onInstallWay = (listener: () => void): (() => void) => {
  changed = listener;
  return () => {
    if (changed === listener) changed = () => undefined;
  };
};

/** Lets the browser ask its question, which it does once for each event. */
export const askInstall = async (): Promise<void> => {
  const question = offered;
  offered = null;
  await question?.prompt();
  changed();
};

/** This device is not asked again. */
export const refuseInstall = (): void => {
  localStorage.setItem(KEY, 'no');
  changed();
};
