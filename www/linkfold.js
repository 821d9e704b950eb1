// The core of linkfold for other pages; linkfold.d.ts tells what each takes and gives.
import load, { check, jig, picture, plan } from './pkg/linkfold.js';

let loading;

export default function init(module) {
  return loading ??= load(module === undefined ? undefined : { module_or_path: module })
    .then(() => undefined, (error) => { loading = undefined; throw error; });
}

export async function schema(of = 'design') {
  const names = ['design', 'bench', 'wishes'];
  if (!names.includes(of)) throw new RangeError(`there is a schema of ${names.join(', ')}, none of "${of}"`);
  const told = await fetch(new URL(`pkg/${of}.schema.json`, import.meta.url));
  if (!told.ok) throw new Error(`the schema did not come: ${told.status}`);
  return told.json();
}

export { check, jig, picture, plan };
