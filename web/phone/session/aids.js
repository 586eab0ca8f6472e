// What helps hands, ears and eyes. Each can be switched off, none is needed, and the choice stays on the phone.

export const GROUNDS = [['light', 'Light'], ['dusk', 'Dusk'], ['phone', 'As the phone']];
const FIRST = { sound: true, speech: true, buzz: true, awake: true, ground: 'light' };

/** The aids from what was kept on this phone; anything strange in it gives way to the first setting. */
export function aidsFrom(kept) {
  const taken = Object.entries(FIRST).map(([name, first]) => {
    const value = kept?.[name];
    const fits = name === 'ground' ? GROUNDS.some(([ground]) => ground === value) : typeof value === 'boolean';
    return [name, fits ? value : first];
  });
  return Object.fromEntries(taken);
}

const AWAKE = {
  held: 'the screen stays on',
  off: 'the screen goes off as the phone is set',
  waiting: 'asked again when the page is looked at',
  refused: 'the phone refused: set its screen to stay on for longer',
  missing: 'this browser cannot: set the phone\'s screen to stay on for longer',
};

/** The switches for the sheet of everything else: [{name, words, note, on, able}]. `able` says what this phone can do at all. */
export function aidSwitches(aids, able, awakeState) {
  const cannot = 'this phone\'s browser cannot';
  return [
    { name: 'sound', words: 'Sound that quickens', note: able.sound ? 'another tone on the mark; silent when it cannot tell' : cannot },
    { name: 'speech', words: 'Say the distance', note: able.speech ? 'when the large figure is tapped' : cannot },
    { name: 'buzz', words: 'Buzz', note: able.buzz ? 'on the mark, and when a mark is stored' : cannot },
    { name: 'awake', words: 'Keep the screen on', note: AWAKE[awakeState] },
  ].map((row) => ({ ...row, on: aids[row.name], able: able[row.name] }));
}
