/* A press with data-print prints the page. It stays hidden where no script runs, since it could do nothing. */
for (const press of document.querySelectorAll('[data-print]')) {
  press.hidden = false;
  press.addEventListener('click', () => window.print());
}
