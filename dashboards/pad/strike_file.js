import * as queue from './queue.js';
import { playerById, practice } from './session.js';

const OUTCOMES = { 'on target': 'on', 'off target': 'off', blocked: 'blocked' };

/** A CSV field. What a spreadsheet would run gets an apostrophe, which the import takes off. */
function field(value) {
  const text = String(value ?? '').replace(/^('*[=+\-@\t\r])/, "'$1");
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

function strikeFile() {
  const { squad, logger, stages } = practice.briefing;
  const rows = queue.notVoid().map(({
    id: strike_id, struck_at, player: player_id, practice: practice_id, stage, foot, surface, outcome, miss, distance_m,
    set_id, source,
  }) => ({
    strike_id, struck_at, player_id, player: playerById(player_id)?.display_name ?? '?', practice_id, squad, stage,
    foot, surface, outcome: OUTCOMES[outcome], miss, distance_m,
    target_width_m: stages.find(({ name }) => name === stage)?.target_width_m, set_id, source, logger,
  }));
  const lines = [Object.keys(rows[0] ?? {}), ...rows.map(Object.values)];
  return lines.map((line) => `${line.map(field).join(',')}\r\n`).join('');
}

export function saveToFile() {
  const href = URL.createObjectURL(new Blob([strikeFile()], { type: 'text/csv' }));
  const download = `strikes-${practice.briefing.practice.held_on}.csv`;
  Object.assign(document.createElement('a'), { href, download }).click();
  setTimeout(() => URL.revokeObjectURL(href), 60000);
}
