// Loaded into every measured server before its own program: answers what the process used and holds. The server it is
// loaded into runs unchanged.
process.on('message', (question) => {
  if (question === 'collect') {
    globalThis.gc?.();
    globalThis.gc?.();
  }
  const { user, system } = process.cpuUsage();
  const { heapUsed, arrayBuffers, rss } = process.memoryUsage();
  process.send?.({ cpu: user + system, system, heap: heapUsed + arrayBuffers, rss });
});
process.channel?.unref();
