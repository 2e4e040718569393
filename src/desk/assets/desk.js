// Convenience only: every page works without it.
const print = document.getElementById('print');
if (print) {
  print.hidden = false;
  print.addEventListener('click', () => window.print());
  window.addEventListener('load', () => window.print());
}
