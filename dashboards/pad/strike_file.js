import { nameOf, session } from '/pad/session.js';
import * as queue from '/pad/queue.js';

const OUTCOMES = { 'on target': 'on', 'off target': 'off', blocked: 'blocked' };

/** A CSV field. Text a spreadsheet would run as a formula gets an apostrophe, which `strikeladder import` takes off. */
function field(value) {
  const text = String(value ?? '').replace(/^('*[=+\-@\t\r])/, "'$1");
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** Strikes the server has not got and nobody took back, as a strike file; every strike of the phone if it has all. */
export function strikeFile() {
  const { briefing } = session;
  const widths = new Map(briefing.stages.map((stage) => [stage.name, stage.target_width_m]));
  const missing = queue.unsent().filter((strike) => !queue.isVoid(strike));
  const columns = {
    strike_id: (strike) => strike.strike_id, struck_at: (strike) => strike.struck_at,
    player_id: (strike) => strike.player, player: (strike) => nameOf(strike.player),
    practice_id: (strike) => strike.practice, squad: () => briefing.squad, stage: (strike) => strike.stage,
    foot: (strike) => strike.foot, surface: (strike) => strike.surface, outcome: (strike) => OUTCOMES[strike.outcome],
    miss: (strike) => strike.miss, distance_m: (strike) => strike.distance_m,
    target_width_m: (strike) => widths.get(strike.stage), set_id: (strike) => strike.set_id,
    source: (strike) => strike.source, logger: () => briefing.logger,
  };
  const rows = (missing.length ? missing : queue.valid())
    .map((strike) => Object.values(columns).map((of) => field(of(strike))).join(','));
  return `${[Object.keys(columns).join(','), ...rows].join('\r\n')}\r\n`;
}

/** Hands the strike file to the browser as a download. */
export function saveToFile() {
  const address = URL.createObjectURL(new Blob([strikeFile()], { type: 'text/csv' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = `strikes-${session.briefing.practice.held_on}-${session.briefing.logger.replace(/[^\p{L}\p{N}]+/gu, '-')}.csv`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}
