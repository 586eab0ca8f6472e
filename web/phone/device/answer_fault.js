// An answer of the server that is no success, as an error that still knows what the server said.

/** The server was reached and said no: `status`, and `title` and `detail` of its problem document where it sent one. */
export class AnswerFault extends Error {
  constructor(status, { title = null, detail = null } = {}) {
    super(detail ?? `The server answered ${status}.`);
    Object.assign(this, { status, title, detail: this.message });
  }
}

/** The fault behind an answer. */
export async function faultOf(answer) {
  return new AnswerFault(answer.status, await answer.json().catch(() => ({})) ?? {});
}
