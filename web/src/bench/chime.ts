/** Three short tones, one after the other, in seconds from now and hertz. */
const TONES = [
  [0, 660],
  [0.28, 660],
  [0.56, 880],
] as const;
const LONG = 0.2;

/** Rings, and shakes a phone, where the device lets it; the page tells it in words as well. */
export function chime(): void {
  navigator.vibrate?.([300, 150, 300, 150, 500]);
  if (!('AudioContext' in globalThis)) return;
  const sound = new AudioContext();
  const last = TONES.map(([at, hertz]) => tone(sound, sound.currentTime + at, hertz)).at(-1);
  last?.addEventListener('ended', () => void sound.close());
}

function tone(sound: AudioContext, at: number, hertz: number): OscillatorNode {
  const loud = new GainNode(sound, { gain: 0 });
  loud.gain.setValueAtTime(0, at);
  loud.gain.linearRampToValueAtTime(0.4, at + 0.02);
  loud.gain.linearRampToValueAtTime(0, at + LONG);
  const voice = new OscillatorNode(sound, { frequency: hertz });
  voice.connect(loud).connect(sound.destination);
  voice.start(at);
  voice.stop(at + LONG);
  return voice;
}
