// Sound, voice, buzz, the screen kept on, and how bright the page is: what the job says is given to what the phone can do.

import { createBuzz } from './device/buzz.js';
import { createSound } from './device/sound.js';
import { createSpeech } from './device/speech.js';
import { createWakeLock } from './device/wake_lock.js';
import { aidsFrom, aidSwitches, GROUNDS } from './session/aids.js';
import { beatOfAim } from './session/beats.js';
import { spokenAim } from './session/spoken.js';
import { setGround } from './view/aid_switches.js';

/** The aids over a keep. `onChange()` comes when what the sheet says of them has changed. */
export function createAiding({ keep, onChange }) {
  const [sound, speech, buzz] = [createSound(), createSpeech(), createBuzz()];
  const wakeLock = createWakeLock({ onChange });
  const able = { sound: sound.able, speech: speech.able, buzz: buzz.able, awake: wakeLock.able };
  let aids = aidsFrom(null);
  let wasOnTheMark = false;

  return {
    load: async () => {
      aids = aidsFrom(await keep.get('aids').catch(() => null));
      setGround(aids.ground);
    },
    /** Call it from a tap: only then may a page sound and keep the screen on. */
    start: () => {
      sound.start();
      wakeLock.want(aids.awake);
    },
    set: (name, value) => {
      aids = aidsFrom({ ...aids, [name]: value });
      keep.set('aids', aids).catch(() => {});
      if (name === 'ground') setGround(aids.ground);
      if (name === 'awake') wakeLock.want(aids.awake);
      if (name === 'sound') sound.start();
      onChange();
    },
    show: (aim) => {
      const isOnTheMark = aim.verdict === 'inside' && aim.point !== null;
      sound.set(aids.sound ? beatOfAim(aim) : null);
      if (isOnTheMark && !wasOnTheMark && aids.buzz) buzz.give('onTheMark');
      wasOnTheMark = isOnTheMark;
    },
    stored: () => { if (aids.buzz) buzz.give('stored'); },
    say: (job, aim, figures) => { if (aids.speech) speech.say(spokenAim(job, aim, figures)); },
    model: () => ({ switches: aidSwitches(aids, able, wakeLock.state()), grounds: GROUNDS, ground: aids.ground }),
  };
}
