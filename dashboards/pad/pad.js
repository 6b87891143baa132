// Starts the page, and ties the views to the bar below them and to the keyboard.

import { callOutView } from '/pad/call_out_view.js';
import { clockText } from '/pad/clock.js';
import { element, flash, onPress, setText } from '/pad/elements.js';
import { moreView } from '/pad/more_view.js';
import { keepPage, readyWord } from '/pad/offline.js';
import * as queue from '/pad/queue.js';
import * as session_ from '/pad/session.js';
import { buzz, say, stayAwake } from '/pad/signals.js';
import * as storage from '/pad/storage.js';
import { strip } from '/pad/strip.js';
import { strikeText, tapView } from '/pad/tap_view.js';
import { watchView } from '/pad/watch_view.js';
