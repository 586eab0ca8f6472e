// A form that is sent only to a server that answers: else the page stays as it is, with what was typed, and says so.

const UNSAVED = 'Not saved: the server does not answer. What you typed stays here and is kept in this browser; try again in a moment.';
const LIMIT_MS = 8000;

const answers = () => fetch(location.pathname, { cache: 'no-store', signal: AbortSignal.timeout(LIMIT_MS) }).then(() => true, () => false);

/** Send a form once the server answers; `sending()` is told before it goes. */
export function saveWhereAnswered(form, sending) {
  let isAsking = false;
  const fault = document.createElement('p');
  fault.className = 'notice fault';
  fault.setAttribute('role', 'alert');
  fault.hidden = true;
  form.append(fault);
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    if (isAsking) return;
    isAsking = true;
    fault.hidden = true;
    const isThere = await answers();
    isAsking = false;
    fault.textContent = UNSAVED;
    fault.hidden = isThere;
    if (!isThere) return void fault.scrollIntoView({ block: 'nearest' });
    sending();
    form.submit();
  });
}
