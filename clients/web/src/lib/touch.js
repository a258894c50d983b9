// Dragging, pinching, tapping and the keyboard on a canvas that shows a Window.

/**
 * @param options {view, changed(), tapped(x, y), keys: {Enter: action, ...}}
 */
export function touch(canvas, { view, changed, tapped, keys }) {
  const fingers = new Map();
  let far = false;
  const at = (event) => {
    const box = canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  const middle = () => {
    const all = [...fingers.values()];
    const x = all.reduce((sum, one) => sum + one.x, 0) / all.length;
    const y = all.reduce((sum, one) => sum + one.y, 0) / all.length;
    return { x, y, apart: all.length > 1 ? Math.hypot(all[0].x - all[1].x, all[0].y - all[1].y) : 0 };
  };
  canvas.addEventListener('pointerdown', (event) => {
    if (event.button > 0) return;
    canvas.setPointerCapture(event.pointerId);
    if (fingers.size === 0) far = false;
    fingers.set(event.pointerId, at(event));
    if (fingers.size > 1) far = true;
  });
  canvas.addEventListener('pointermove', (event) => {
    if (!fingers.has(event.pointerId)) return;
    const before = middle();
    const held = fingers.get(event.pointerId);
    const now = at(event);
    // A finger is never quite still: a tap may wander a little.
    if (!far && Math.hypot(now.x - held.x, now.y - held.y) < 7) return;
    far = true;
    fingers.set(event.pointerId, now);
    const after = middle();
    if (fingers.size > 1 && before.apart > 10) view.zoomAt(before.x, before.y, after.apart / before.apart);
    view.move(after.x - before.x, after.y - before.y);
    changed();
  });
  const lifted = (event) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.delete(event.pointerId);
    if (event.type === 'pointerup' && !far && fingers.size === 0) tapped(at(event));
  };
  canvas.addEventListener('pointerup', lifted);
  canvas.addEventListener('pointercancel', lifted);
  canvas.addEventListener('wheel', (event) => {
    // The bare wheel scrolls the page; with a key, or as a pinch on a touch pad, it zooms.
    if (!event.ctrlKey && !event.metaKey) return;
    event.preventDefault();
    const { x, y } = at(event);
    view.zoomAt(x, y, Math.exp(-event.deltaY / 200));
    changed();
  }, { passive: false });
  canvas.addEventListener('keydown', (event) => {
    const action = keys[event.key];
    if (!action || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    action(event);
  });
}
