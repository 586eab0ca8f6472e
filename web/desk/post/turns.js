// Whose turn it is to draw a bunker: of all tabs of one browser one holds it, the others look on and may ask for it.

import { createSpokenTurns } from './spoken_turns.js';

const TAKEN_AFTER_MS = 5000;

/**
 * The turns at a bunker, under a name of its own in this browser. `claim()` settles with whether this tab has the turn; where it
 * has not, it waits for it. `gained()` is told when it comes, `lost()` when it is gone. `ask()` asks for it: the tab that
 * has it settles `handOver()` first, and where it does not answer within 5 s the turn is taken from it.
 */
export const createTurns = (parts) => (navigator.locks === undefined ? createSpokenTurns : createLockedTurns)(parts);

function createLockedTurns({ name, gained, lost, handOver }) {
  const { locks } = navigator;
  const channel = new BroadcastChannel(name);
  let [giveUp, waiting] = [null, null];

  const hold = () => new Promise((resolve) => { giveUp = resolve; });

  const lose = () => {
    if (giveUp === null) return;
    giveUp();
    giveUp = null;
    lost();
    wait();
  };

  const begin = () => {
    gained();
    return hold();
  };

  /** Stand at the end of those who wait. */
  const wait = () => {
    waiting?.abort();
    waiting = new AbortController();
    locks.request(name, { signal: waiting.signal }, begin).catch(lose);
  };

  const take = () => {
    if (giveUp !== null) return;
    waiting?.abort();
    locks.request(name, { steal: true }, begin).catch(lose);
  };

  channel.addEventListener('message', async () => {
    if (giveUp === null) return void wait();
    await handOver();
    lose();
  });

  return {
    claim: () => new Promise((settled) => {
      locks.request(name, { ifAvailable: true }, (lock) => {
        settled(lock !== null);
        return lock === null ? wait() : hold();
      }).catch(lose);
    }),
    ask: () => {
      channel.postMessage('give');
      setTimeout(take, TAKEN_AFTER_MS);
    },
  };
}
