// Speaks with a voice that lives on this device. A voice of the browser's maker would send the words away: it is not used.
const WAIT_FOR_VOICES_MS = 1500;

export class Voice {
  constructor(synth = globalThis.speechSynthesis) {
    this.synth = synth;
  }

  // The voice of this device; none where the browser has only voices elsewhere, or none at all.
  async own() {
    if (!this.synth) return null;
    const known = local(this.synth.getVoices());
    if (known) return known;
    await new Promise((done) => {
      setTimeout(done, WAIT_FOR_VOICES_MS);
      this.synth.addEventListener?.("voiceschanged", done, { once: true });
    });
    return local(this.synth.getVoices());
  }

  // What is said now takes the place of what was being said. False where nothing can be said.
  async say(words) {
    const voice = await this.own();
    if (!voice) return false;
    const saying = new SpeechSynthesisUtterance(words);
    saying.voice = voice;
    saying.lang = voice.lang;
    this.synth.cancel();
    this.synth.speak(saying);
    return true;
  }

  hush() { this.synth?.cancel(); }
}

function local(voices) {
  const own = voices.filter((one) => one.localService && one.lang.toLowerCase().startsWith("en"));
  return own.find((one) => one.lang === "en-GB") ?? own[0] ?? null;
}
