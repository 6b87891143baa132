// Every file of the page, for the service worker to keep and for the page to check that it did.
self.PAD_FILES = [
  '/pad', '/pad/pad.css', '/pad/manifest.webmanifest', '/pad/icon.svg', '/pad/icon.png',
  ...['call_out_view', 'clock', 'elements', 'files', 'identity', 'lengths', 'more_view', 'offline', 'pad', 'queue', 'server',
    'session', 'signals', 'storage', 'strike_file', 'strip', 'tap_view', 'watch_view'].map((name) => `/pad/${name}.js`),
];
