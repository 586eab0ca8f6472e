// A file given out of the phone: shared where it can share files, else saved by the browser.

const KINDS = [['.json', 'application/json'], ['.json.txt', 'text/plain']];
const LINK_LIVES_MS = 60000;

/**
 * Give a text out as a file; must come from a tap. Resolves to 'shared', 'saved' or 'left' (the sheet was closed again).
 * Some phones share no JSON but text, so the same is tried under that name.
 */
export async function giveFile(name, text) {
  const shared = KINDS.map(([ending, type]) => new File([text], name + ending, { type }))
    .find((file) => navigator.canShare?.({ files: [file] }));
  if (shared === undefined) return save(name + KINDS[0][0], text);
  try {
    await navigator.share({ files: [shared], title: name });
    return 'shared';
  } catch (fault) {
    return fault.name === 'AbortError' ? 'left' : save(name + KINDS[0][0], text);
  }
}

function save(name, text) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], { type: KINDS[0][1] }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), LINK_LIVES_MS);
  return 'saved';
}
