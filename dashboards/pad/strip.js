import { button, element, setText } from './elements.js';
import { choose, chosen, practice, stageNow, stepStage } from './session.js';

const METRES = { yd: 0.9144, m: 1 };
const FARTHEST = 100;
const unit = () => practice.briefing.length_unit;

const lengthText = (metres) => `${Math.round((metres / METRES[unit()]) * 10) / 10} ${unit()}`;

function stepDistance(step) {
  const units = Math.min(Math.max(Math.round(chosen.distance_m / METRES[unit()]) + step, 1), FARTHEST);
  choose({ distance_m: Number((units * METRES[unit()]).toFixed(4)) });
}

function nextSurface() {
  const { surfaces } = stageNow();
  choose({ surface: surfaces[(surfaces.indexOf(chosen.surface) + 1) % surfaces.length] });
}

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
      const { stages } = practice.briefing;
      const place = stages.indexOf(stageNow()) + 1;
      const { ball_arrival: ball, is_gate, target_width_m } = stageNow();
      setText(name, chosen.stage);
      setText(target, `${place} of ${stages.length}: ${ball ? `${ball} ball, ` : ''}${is_gate ? 'gate' : 'goal'} ${
        lengthText(target_width_m)}`);
      setText(surface.firstChild, chosen.surface);
      surface.setAttribute('aria-label', `Surface: ${chosen.surface}`);
      setText(distance, lengthText(chosen.distance_m));
    },
  };
}
