import { practice } from './session.js';
import { isKeptAwake } from './signals.js';
import * as storage from './storage.js';

let isPageKept = false;
let hindrance = 'open it once more with a network';

/** Keeps the page's files, where the browser may: over https, or on the server's own computer. */
export async function keepPage() {
  navigator.storage?.persist?.();
  try {
    const files = performance.getEntriesByType('resource').map(({ name }) => new URL(name).pathname);
    const cache = await caches.open('strike-ladder-pad');
    await cache.addAll(['/pad', ...new Set(files.filter((path) => path.startsWith('/pad/')))]).catch(async (error) => {
      if (!(await cache.match('/pad'))) throw error; // else kept by an earlier visit
    });
    await navigator.serviceWorker.register('/pad/sw.js', { scope: '/pad' });
    await navigator.serviceWorker.ready;
    isPageKept = true;
  } catch (error) {
    hindrance = isSecureContext ? `the browser refuses (${error.message})` : 'this connection is plain http';
  }
}

export function readyWord() {
  if (storage.place === 'none') return 'Taps cannot be kept here';
  if (!practice.isKept) return 'Not ready to go offline yet';
  return isPageKept ? 'Ready to go offline' : 'Offline: keep this tab open';
}

export const abilities = () => [
  `Taps kept on this phone: ${storage.place === 'none' ? 'no. Leave the private window' : 'yes'}`,
  `Players, stages and pass kept: ${practice.isKept ? 'yes' : 'not yet'}`,
  `Page opens without a network: ${isPageKept ? 'yes' : `no: ${hindrance}. Keep this tab open, do not reload it`}`,
  `Screen stays on: ${isKeptAwake() ? 'yes' : 'no. Set the longest screen lock time; taps survive the lock'}`,
];
