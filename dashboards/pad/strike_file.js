import * as queue from './queue.js';
import { playerById, practice } from './session.js';

const OUTCOMES = { 'on target': 'on', 'off target': 'off', blocked: 'blocked' };

/** A CSV field. What a spreadsheet would run as a formula gets an apostrophe, which the import takes off. */
function field(value) {
  const text = String(value ?? '').replace(/^('*[=+\-@\t\r])/, "'$1");
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** Every strike on this phone that nobody took back: what the server has already it will know by its id. */
function strikeFile() {
  const { squad, logger, stages } = practice.briefing;
  const rows = queue.notVoid().map((strike) => ({
    strike_id: strike.id, struck_at: strike.struck_at, player_id: strike.player,
    player: playerById(strike.player)?.display_name ?? 'somebody who left',
    practice_id: strike.practice, squad, stage: strike.stage, foot: strike.foot, surface: strike.surface,
    outcome: OUTCOMES[strike.outcome], miss: strike.miss, distance_m: strike.distance_m,
    target_width_m: stages.find(({ name }) => name === strike.stage)?.target_width_m,
    set_id: strike.set_id, source: strike.source, logger,
  }));
  const lines = [Object.keys(rows[0] ?? {}), ...rows.map(Object.values)];
  return lines.map((line) => `${line.map(field).join(',')}\r\n`).join('');
}

/** Hands the strikes to the browser as a file that `strikeladder import` reads. */
export function saveToFile() {
  const href = URL.createObjectURL(new Blob([strikeFile()], { type: 'text/csv' }));
  const download = `strikes-${practice.briefing.practice.held_on}.csv`;
  Object.assign(document.createElement('a'), { href, download }).click();
  setTimeout(() => URL.revokeObjectURL(href), 60000);
}
