// Before anything is drawn: whether what the page brings may be shown, and in which colours.
// A visitor with a design of their own sees no other's verdict.
{
  const { dataset } = document.documentElement;
  const kept = (name) => {
    try {
      return localStorage.getItem(name);
    } catch {
      return null;
    }
  };
  let own = kept('linkfold/page') !== null || location.hash.length > 1;
  try {
    own ||= sessionStorage.getItem('linkfold/page') !== null;
  } catch { /* Nothing is kept there. */ }
  if (own) dataset.opening = 'own';
  if (kept('linkfold.tour') !== null) dataset.offer = 'no';
  const wants = (what) => matchMedia(what).matches;
  const chosen = kept('linkfold.colours');
  const system = !['light', 'dark', 'contrast'].includes(chosen);
  const forced = wants('(forced-colors: active)');
  const contrast = forced || chosen === 'contrast' || (system && wants('(prefers-contrast: more)'));
  const dark = chosen === 'dark'
    || ((system || chosen === 'contrast' || forced) && wants('(prefers-color-scheme: dark)'));
  dataset.colours = `${contrast ? 'contrast-' : ''}${dark ? 'dark' : 'light'}`;
}
