// The ways on to pages that show the draft: what is drawn goes to the server first, so that they show all of it.

const UNSENT = 'What you drew last is not on the server yet, and the next page would not show it; the line under the plan says why.';

/** Lead on from `ways`, an element with links, of which those marked `data-draft` wait until `flush()` settles with a number. */
export function createLeaving({ ways, fault, flush }) {
  ways.addEventListener('click', async (event) => {
    const link = event.target.closest('a[data-draft]');
    if (link === null || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (await flush() === null) fault.textContent = UNSENT;
    else location.assign(link.href);
  });
}
