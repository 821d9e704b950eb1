// What a fault of our own comes to: one sentence with what to do, and a report to copy.

// Whether this browser keeps what is changed: then the design is there at the next visit.
function keeps() {
  try {
    localStorage.setItem('linkfold.fault', 'met');
    localStorage.removeItem('linkfold.fault');
    return true;
  } catch {
    return false;
  }
}

function button(words, act) {
  const made = document.createElement('button');
  made.type = 'button';
  made.textContent = words;
  made.onclick = act;
  return made;
}

// Shows that `where` broke, once; `error` is whatever was thrown.
export function tell(where, error) {
  const { dataset } = document.documentElement;
  if (dataset.fault) return;
  dataset.fault = where;
  const words = globalThis.fault ?? String(error?.message ?? error);
  const report = [
    `linkfold, ${where}: ${words}`, error?.stack, location.protocol, navigator.userAgent,
  ].filter(Boolean).join('\n');
  const what = where === 'check'
    ? 'The check stopped by a fault in linkfold: what is marked as an estimate stays one.'
    : 'linkfold stopped by a fault of its own.';
  const design = keeps()
    ? 'Your design is kept in this browser'
    : 'This browser keeps no design: note yours';
  const shown = document.createElement('section');
  shown.id = 'fault';
  shown.setAttribute('role', 'alert');
  const sentence = document.createElement('p');
  sentence.textContent =
    `${what} ${design}; load the page again, and copy the report for whoever gave you linkfold.`;
  const text = document.createElement('pre');
  text.textContent = report;
  text.tabIndex = 0;
  const copy = button('Copy the report', () => {
    const asked = navigator.clipboard?.writeText(report) ?? Promise.reject();
    asked.then(() => { copy.textContent = 'Report copied'; }, () => {
      getSelection().selectAllChildren(text);
      copy.textContent = 'Selected: copy it by hand';
    });
  });
  shown.append(sentence, button('Load again', () => location.reload()), copy, text);
  document.body.prepend(shown);
  shown.scrollIntoView();
}

// Whatever is caught nowhere is a fault; what other programs put into the page is none of ours.
const foreign = (file) => /^[a-z-]+-extension:/.test(file ?? '');
addEventListener('error', ({ error, message, filename }) => {
  if (!foreign(filename)) tell('page', error ?? message);
});
addEventListener('unhandledrejection', ({ reason }) => {
  if (!foreign(/[a-z-]+:\/\/[^\s)]+/.exec(reason?.stack ?? '')?.[0])) tell('page', reason);
});
