/* The light of the page, paper or stage. Without this file the form posts and the server writes
   the same cookie; with it the page changes at once and nothing is sent. */
const root = document.documentElement;
const dark = matchMedia('(prefers-color-scheme: dark)');

function current() {
  return root.dataset.theme || (dark.matches ? 'stage' : 'paper');
}

function label() {
  for (const button of document.querySelectorAll('form.light > button')) {
    button.setAttribute('aria-pressed', String(current() === 'stage'));
  }
}

function keep(light) {
  const secure = location.protocol === 'https:' ? '; Secure' : '';
  document.cookie = `light=${light}; Path=/; Max-Age=31536000; SameSite=Lax${secure}`;
}

document.addEventListener('submit', event => {
  if (!event.target.matches('form.light')) return;
  event.preventDefault();
  root.dataset.theme = current() === 'stage' ? 'paper' : 'stage';
  keep(root.dataset.theme);
  label();
});
dark.addEventListener('change', label);
label();
