import '/pad/files.js';
import { session } from '/pad/session.js';
import { isKeptAwake } from '/pad/signals.js';
import * as storage from '/pad/storage.js';

let pageKept = false;
let hindrance = '';

/** Has the browser keep the page's files where it may: over https, or on the server's own computer. */
export async function keepPage(changed) {
  navigator.storage?.persist?.().catch(() => {});
  if (!navigator.serviceWorker) return;
  try {
    await navigator.serviceWorker.register('/pad/sw.js', { scope: '/pad' });
    await navigator.serviceWorker.ready;
    const kept = await Promise.all(self.PAD_FILES.map((name) => caches.match(name)));
    pageKept = kept.every(Boolean);
  } catch (error) {
    hindrance = error.name === 'SecurityError' ? 'this browser does not trust the server’s certificate' : error.message;
  }
  changed();
}

const isReady = () => pageKept && session.keptBriefing && storage.place !== 'none';

/** In a few words: can this phone go to a field without a network? */
export function readyWord() {
  if (storage.place === 'none') return 'Taps cannot be kept here';
  if (!session.keptBriefing) return 'Not ready to go offline yet';
  return isReady() ? 'Ready to go offline' : 'Offline: keep this tab open';
}

/** What this phone can and cannot do on this connection, as [what, whether, in words]. */
export function abilities() {
  const noPage = isSecureContext ? `no: ${hindrance || 'not kept yet, open the page once more with a network'}`
    : 'no: this connection is plain http. Keep the tab open and do not reload without a network';
  return [
    ['Taps are kept on this phone', storage.place !== 'none', {
      indexeddb: 'yes', localstorage: 'yes, in the browser’s small store', none: 'no: leave the private window',
    }[storage.place]],
    ['Players, stages and pass are kept', session.keptBriefing, session.keptBriefing ? 'yes' : 'not yet'],
    ['The page opens without a network', pageKept, pageKept ? 'yes' : noPage],
    ['The screen stays on', isKeptAwake(), isKeptAwake() ? 'yes'
      : 'no: set the phone’s own screen lock to its longest time. Taps survive the lock'],
  ];
}
