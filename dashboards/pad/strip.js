import { button, element, setText } from './elements.js';
import { practice, select, selection, stageNow, stepStage } from './session.js';

const METRES = { yd: 0.9144, m: 1 };
const FARTHEST = 100;
const EVERY_SURFACE = ['laces', 'inside', 'outside', 'toe', 'heel', 'other'];
const unit = () => practice.briefing.length_unit;

const lengthText = (metres) => (metres ? `${Math.round((metres / METRES[unit()]) * 10) / 10} ${unit()}` : '');

function stepDistance(step) {
  const units = Math.round((selection.distance_m ?? 10) / METRES[unit()]) + step;
  select({ distance_m: Number((Math.min(Math.max(units, 1), FARTHEST) * METRES[unit()]).toFixed(4)) });
}

function nextSurface() {
  const surfaces = stageNow()?.surfaces ?? EVERY_SURFACE;
  select({ surface: surfaces[(surfaces.indexOf(selection.surface) + 1) % surfaces.length] });
}

/** What every strike is given: stage with its ball, surface, distance; each changed with one tap. */
export function strip() {
  const [name, target, distance] = [element('b'), element('span'), element('output')];
  const surface = button('', nextSurface);
  const arrow = (sign, label, act) => button(sign, act, { class: 'arrow', label });
  const node = element('section', { class: 'strip', 'aria-label': 'Given to every strike' },
    element('div', { class: 'row' }, arrow('‹', 'Stage before', () => stepStage(-1)),
      element('p', { 'aria-live': 'polite' }, name, target), arrow('›', 'Next stage', () => stepStage(1))),
    element('div', { class: 'row' }, surface, arrow('−', 'Nearer', () => stepDistance(-1)), distance,
      arrow('+', 'Farther', () => stepDistance(1))));
  return {
    node,
    refresh() {
      const stage = stageNow();
      setText(name, stage?.name ?? 'No stage');
      setText(target, [stage?.ball_arrival, stage && `${stage.is_gate ? 'gate' : 'goal'} ${lengthText(stage.target_width_m)}`]
        .filter(Boolean).join(', '));
      setText(surface.firstChild, selection.surface ?? 'any');
      surface.setAttribute('aria-label', `Surface ${selection.surface ?? 'any'}, next`);
      setText(distance, lengthText(selection.distance_m));
    },
  };
}
