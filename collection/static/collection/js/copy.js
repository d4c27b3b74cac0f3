/* A press with data-copy puts the value of the field it names on the clipboard, and says so. It stays
   hidden where the browser gives no clipboard: there the field is selected and copied by hand. */
if (navigator.clipboard) {
  for (const press of document.querySelectorAll('[data-copy]')) {
    const field = document.getElementById(press.dataset.copy);
    const said = press.closest('.part').querySelector('[data-copied]');
    press.hidden = false;
    press.addEventListener('click', async () => {
      try {
        await navigator.clipboard.writeText(field.value);
        said.textContent = 'Copied.';
      } catch {
        field.select();
        said.textContent = 'The browser did not allow it: it is selected, copy it by hand.';
      }
    });
  }
}
