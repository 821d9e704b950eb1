// linkfold in another page: a wire and a mandrel in, a sentence and a picture out.
import init, { check, picture } from './linkfold.js';

const [wire, mandrel, answer, drawn] = ['wire', 'mandrel', 'answer', 'picture']
  .map((id) => document.getElementById(id));

function show() {
  const design = {
    linkfold: 1,
    wire: { diameter_mm: wire.valueAsNumber },
    sizes: [{ mandrel_mm: mandrel.valueAsNumber }],
  };
  try {
    answer.textContent = check(design).joins[0].message;
    drawn.innerHTML = picture(design, { step: 'fold', width: 480, height: 360 });
  } catch ({ path, message }) {
    answer.textContent = path ? message : `Not a design: ${message}`;
    drawn.textContent = '';
  }
}

await init();
document.querySelector('form').addEventListener('input', show);
show();
