/** Stands in for the process that sounds: opens, and dies. */
const facts = { device: '', sampleRate: 48_000, baseLatency: 0, outputLatency: 0 };
process.once('message', () => {
  process.send({ type: 'opened', facts });
  setTimeout(() => process.kill(process.pid, 'SIGKILL'), 100);
});
