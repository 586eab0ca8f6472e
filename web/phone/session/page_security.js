// Why the browser does not give this page everything, and what to do about it.

// Chromium names the certificate for a classic worker; for a module worker only that fetching it was a matter of security.
const CERTIFICATE = /certificate|\bssl\b|\btls\b|^SecurityError: .*error occurred when fetching/i;

/**
 * Words, or null where the page lacks nothing. `isSecure` is the browser's own word, `protocol` and `host` are those of
 * the page's address, `workerFault` is what registering the service worker threw ({name, message}) or null, `trustUrl`
 * is the path of the page about trusting the certificate.
 */
export function pageSecurityWords({ isSecure, protocol, host, workerFault, trustUrl }) {
  if (!isSecure) return insecureWords(protocol, host);
  if (workerFault === null) return null;
  const isCertificate = protocol === 'https:' && CERTIFICATE.test(`${workerFault.name}: ${workerFault.message}`);
  return isCertificate ? clickedThroughWords(`https://${host}${trustUrl}`) : notKeptWords(workerFault);
}

function insecureWords(protocol, host) {
  const how = protocol === 'http:' ? 'by plain http' : 'in a way the browser does not trust';
  return `This page was opened ${how}, from ${host}. Here the browser gives no position and no compass, and keeps nothing for where there is no signal. `
    + 'You can still practise, and mark points without a position. To work outside, ask whoever runs this server for its https address and open that.';
}

function clickedThroughWords(trustAddress) {
  return 'This phone does not trust this page: a warning was tapped away. The position works, but nothing is kept for where there is no signal, and the page will not open there. '
    + `Do this while there is signal: open ${trustAddress}, follow its steps, then open this page again.`;
}

function notKeptWords({ name, message }) {
  return 'This phone could not keep the page for where there is no signal, so it will not open there. In a private window that cannot be helped: use an ordinary one. '
    + `Else load the page again where there is signal. (${[name, message].filter(Boolean).join(': ')})`;
}
