// 'Earlier saves': one of them put on the board again as a new step, and a draft given up for what stands.

import { el } from '../../phone/view/element.js';
import { askDraft, askSave, askSaves, giveUp } from '../post/server.js';

const AWAY = 'The server cannot be reached; try again in a moment.';
const UNSENT = 'What is drawn is not on the server yet, and would not be among its saves; wait until it is saved, then give it up.';
const NONE = 'Nothing is saved of it yet.';
const [GIVE_UP, SURE] = ['Give this draft up', 'Press again to give it up'];
const STATES = { 'given up': 'gave the draft up', issued: 'issued it' };

/**
 * `post` is the draft's post, `person()` who signs; `gone()` is called where nothing is left to draw. A draft is given up by a
 * second press; its saves stay, and undo takes it up again.
 */
export function createSaves({ address, bench, post, person, gone, node }) {
  const [box, list, fault, button] = ['saves', 'save-list', 'saves-fault', 'give-up'].map(node);
  const say = (words) => { fault.textContent = words ?? ''; };
  const refused = ({ isAway, words }) => say(isAway ? AWAY : words);
  const calm = () => { button.textContent = GIVE_UP; };

  const fill = async () => {
    const answer = await askSaves(address);
    if (!answer.body) return void refused(answer);
    const saves = answer.body.drafts;
    list.replaceChildren(...(saves.length ? saves.map(row) : [el('li', {}, NONE)]));
  };

  const row = (save) => {
    const did = STATES[save.state] ?? (save.changes.join(', ') || 'saved it');
    const when = `${save.made_at.slice(0, 16).replace('T', ' ')} UTC`;
    return el('li', {}, el('span', {}, `${save.number}: ${save.person} ${did}, ${when}`),
      el('button', { type: 'button', class: 'word', 'aria-label': `Put save ${save.number} on the board`, onclick: () => putOn(save.number) }, 'Put it on the board'));
  };

  const putOn = async (number) => {
    const answer = await askSave(address, number);
    if (!answer.body) return void refused(answer);
    say();
    bench.edit(() => answer.body.draft, `put save ${number} on the board`);
  };

  const give = async () => {
    const number = await post.flush();
    if (number === null) return void say(UNSENT);
    const given = await giveUp(address, number, person());
    if (!given.body) return void refused(given);
    const stands = await askDraft(address);
    if (stands.document === null) return void gone();
    if (!stands.document) return void refused(stands);
    bench.edit(() => stands.document, 'give the draft up');
    post.givenUp(stands);
    return fill();
  };

  button.addEventListener('click', () => {
    say();
    if (button.textContent === GIVE_UP) {
      button.textContent = SURE;
      return;
    }
    calm();
    give();
  });
  button.addEventListener('blur', calm);
  box.addEventListener('toggle', () => {
    say();
    if (box.open) fill();
  });
}
