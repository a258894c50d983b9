// The WebAssembly module as one function. Runs in a worker, and in Node.js for the tests.

export class Library {
  /** @param bytes the module */
  static async create(bytes) {
    // Nothing but the end of a fault's message is asked of the outside.
    const outside = { fd_close: () => 0, fd_seek: () => 0, fd_write: () => 0, proc_exit: () => { throw new Error('the model library ended'); } };
    const module = await WebAssembly.compile(bytes);
    const { exports } = await WebAssembly.instantiate(module, { wasi_snapshot_preview1: outside });
    exports._initialize?.();
    return new Library(exports);
  }

  constructor(exports) {
    this.exports = exports;
    this.encoder = new TextEncoder();
    this.decoder = new TextDecoder();
  }

  put(text) {
    const bytes = this.encoder.encode(text);
    const at = this.exports.room(bytes.length);
    new Uint8Array(this.exports.memory.buffer, at, bytes.length).set(bytes);
    return [at, bytes.length];
  }

  call(name, input) {
    const length = this.exports.call(...this.put(name), ...this.put(JSON.stringify(input)));
    return JSON.parse(this.decoder.decode(new Uint8Array(this.exports.memory.buffer, this.exports.answer_at(), length)));
  }
}
