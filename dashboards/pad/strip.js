import { button, element, setText } from '/pad/elements.js';
import { lengthText, stepped } from '/pad/lengths.js';
import { select, session, stageNow, stepStage } from '/pad/session.js';

const EVERY_SURFACE = ['laces', 'inside', 'outside', 'toe', 'heel', 'other'];

function nextSurface() {
  const surfaces = stageNow()?.surfaces ?? EVERY_SURFACE;
  select({ surface: surfaces[(surfaces.indexOf(session.surface) + 1) % surfaces.length] });
}

const stepDistance = (step) => select({ distance_m: stepped(session.distance_m, step, session.briefing.length_unit) });

const arrow = (sign, act, label) => button(sign, act, { class: 'arrow', 'aria-label': label });

/** What every strike is given: stage, ball, surface, distance; each changed with one tap. Gives { node, refresh }. */
export function strip() {
  const stage = element('p', { class: 'stage', 'aria-live': 'polite' });
  const [name, ball] = [element('b'), element('span')];
  stage.append(name, ball);
  const surface = button('', nextSurface, { class: 'surface' });
  const distance = element('output', { class: 'distance' });
  const node = element('section', { id: 'strip', 'aria-label': 'Given to every strike' },
    element('div', { class: 'row' }, arrow('‹', () => stepStage(-1), 'Stage before'), stage,
      arrow('›', () => stepStage(1), 'Next stage')),
    element('div', { class: 'row' }, surface, arrow('−', () => stepDistance(-1), 'Nearer'), distance,
      arrow('+', () => stepDistance(1), 'Farther')));
  return {
    node,
    refresh() {
      const unit = session.briefing.length_unit;
      const now = stageNow();
      setText(name, session.stage ?? 'No stage');
      setText(ball, now ? [now.ball_arrival && `${now.ball_arrival} ball`,
        `${now.is_gate ? 'gate' : 'goal'} ${lengthText(now.target_width_m, unit)}`].filter(Boolean).join(', ') : '');
      setText(surface.firstChild, session.surface ?? 'any surface');
      surface.setAttribute('aria-label', `Surface ${session.surface ?? 'any'}, change`);
      setText(distance, lengthText(session.distance_m, unit));
    },
  };
}
