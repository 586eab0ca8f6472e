// An answer of the server that is no success, as an error that still knows what the server said.

const OURS = 'application/problem+json';

/**
 * An answer that says no: `status`, and `title` and `detail` of its problem document where there is one. `isOurs` tells
 * whether it is the server's own word; a proxy on the way, say, has pages of its own.
 */
export class AnswerFault extends Error {
  constructor(status, { title = null, detail = null } = {}, isOurs = false) {
    super(detail ?? `The server answered ${status}.`);
    Object.assign(this, { status, title, detail: this.message, isOurs });
  }
}

/** The fault behind an answer. */
export async function faultOf(answer) {
  const said = await answer.json().catch(() => ({})) ?? {};
  const type = (answer.headers.get('Content-Type') ?? '').split(';')[0].trim().toLowerCase();
  return new AnswerFault(answer.status, said, type === OURS && isProblem(said, answer.status));
}

function isProblem({ type, title, status, detail }, answered) {
  return status === answered && [type, title, detail].every((words) => typeof words === 'string');
}
