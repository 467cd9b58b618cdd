/** The document of these tests has no layout: nobody is told of a size, and what is drawn keeps the one it begins with. */
globalThis.ResizeObserver = class {
  observe = (): void => undefined;
  unobserve = (): void => undefined;
  disconnect = (): void => undefined;
};
