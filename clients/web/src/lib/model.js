// The model library in its worker. Every call is answered without a network.

const waiting = new Map();
const watchers = new Set();
let number = 0;
let worker;

function start() {
  if (worker) return worker;
  worker = new Worker(__WORKER__);
  worker.onmessage = ({ data }) => {
    if (data.event) {
      for (const watcher of [...watchers]) watcher(data.event);
      return;
    }
    const promise = waiting.get(data.id);
    waiting.delete(data.id);
    if (!promise) return;
    if (data.fault) promise.reject(new Error(data.fault));
    else promise.resolve(data.answer);
  };
  worker.onerror = (event) => {
    for (const { reject } of waiting.values()) reject(new Error(event.message || 'the model library stopped'));
    waiting.clear();
    worker = undefined;
  };
  return worker;
}

/** The day at hand in UTC, as the service takes it. */
export const today = () => new Date().toISOString().slice(0, 10);

/**
 * @param name declination, setting, sun, correct, notebook, models
 * @param input parameters, columns and so on; see clients/web/wasm/api.cpp
 * @returns the answer, or {problem}
 */
export function call(name, input = {}) {
  const id = ++number;
  return new Promise((resolve, reject) => {
    waiting.set(id, { resolve, reject });
    start().postMessage({ id, name, input: { today: today(), ...input } });
  });
}

/** Told 'more' when further models have come: answers may say more now. */
export function watch(watcher) {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}

start();
