import { chosen } from './session.js';

const [HIGH_HZ, LOW_HZ, TONE_SECONDS] = [880, 330, 0.08];
let audio = null;
let awake = null;

export function tone(isHigh) {
  if (!chosen.sound) return;
  audio ??= new AudioContext();
  const oscillator = new OscillatorNode(audio, { frequency: isHigh ? HIGH_HZ : LOW_HZ });
  oscillator.connect(new GainNode(audio, { gain: 0.2 })).connect(audio.destination);
  oscillator.start();
  oscillator.stop(audio.currentTime + TONE_SECONDS);
}

/** A buzz on phones that can, in ms. Nothing depends on it. */
export const buzz = (...pattern) => navigator.vibrate?.(pattern);

export const say = (sentence) => { document.querySelector('#spoken').textContent = sentence; };

/** Keeps the screen on while the page is in front, where the browser can. */
export async function stayAwake() {
  if (navigator.wakeLock && !document.hidden && !isKeptAwake()) {
    awake = await navigator.wakeLock.request('screen').catch(() => null); // a low battery says no
  }
}

export const isKeptAwake = () => awake?.released === false;
