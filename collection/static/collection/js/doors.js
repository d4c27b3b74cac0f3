/* The count at the truck door: tiles are drawn anew every few seconds, but never under a thumb
   that is just pressing one, since the press would be lost with the tile. */
document.addEventListener("htmx:beforeSwap", (event) => {
  if (!document.querySelector("#board :active")) return;
  event.detail.shouldSwap = false;
  const later = () => setTimeout(() => window.htmx.trigger("#board", "refresh"), 300);
  addEventListener("pointerup", later, { once: true });
});
