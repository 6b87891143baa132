import { choices } from '/pad/session.js';

const HIGH_HZ = 880;
const LOW_HZ = 330;
const TONE_SECONDS = 0.08;
let audio = null;
let awake = null;

/** A short tone, high for on target, where sound was switched on. */
export function tone(isHigh) {
  if (!choices.sound) return;
  audio ??= new AudioContext();
  audio.resume();
  const oscillator = audio.createOscillator();
  const gain = audio.createGain();
  oscillator.frequency.value = isHigh ? HIGH_HZ : LOW_HZ;
  gain.gain.setValueAtTime(0.2, audio.currentTime);
  gain.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + TONE_SECONDS);
  oscillator.connect(gain).connect(audio.destination);
  oscillator.start();
  oscillator.stop(audio.currentTime + TONE_SECONDS);
}

/** A buzz on phones that can, as a pattern in ms. Nothing depends on it. */
export function buzz(...pattern) {
  if (choices.vibration) navigator.vibrate?.(pattern);
}

/** Reads out one sentence, politely. */
export function say(sentence) {
  document.getElementById('spoken').textContent = sentence;
}

/** Keeps the screen on while the page is in front, where the browser can. */
export async function stayAwake() {
  if (!navigator.wakeLock || document.hidden || (awake && !awake.released)) return;
  try {
    awake = await navigator.wakeLock.request('screen');
  } catch { /* low battery: the phone decides */ }
}

/** Whether the screen is kept on now. */
export const isKeptAwake = () => Boolean(awake && !awake.released);
