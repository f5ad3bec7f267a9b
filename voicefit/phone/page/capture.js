// Sound of the microphone, on the audio thread, to blocks of 40 ms: int16, mono, 16 kHz.
const RATE = 16000, BLOCK = 640;

class Capture extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Int16Array(BLOCK);
    this.filled = 0;
    this.step = sampleRate / RATE; // 1 where the browser resamples by itself
    this.sum = 0; this.weight = 0; // of the output sample being gathered
  }

  process(inputs) {
    const channels = inputs[0];
    if (!channels.length) return true;
    for (const sample of channels[0]) {
      let left = 1;
      while (this.weight + left >= this.step) { // an output sample is the mean over its span
        const part = this.step - this.weight;
        this.put((this.sum + sample * part) / this.step);
        left -= part; this.sum = 0; this.weight = 0;
      }
      this.sum += sample * left; this.weight += left;
    }
    return true;
  }

  put(value) {
    this.block[this.filled++] = Math.max(-1, Math.min(1, value)) * 32767;
    if (this.filled < BLOCK) return;
    this.port.postMessage(this.block.slice().buffer);
    this.filled = 0;
  }
}
registerProcessor("capture", Capture);
