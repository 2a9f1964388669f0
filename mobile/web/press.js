// Highlights a touched button at once, in the page itself: the drawing engine's own ripple redraws a
// dozen whole screens, and the answer to the touch would wait for them. A finger does not move the
// focus either, which would be redrawn too; keys, a mouse and screen readers do.
"use strict";

{
  const LIT_MS = 140;
  // A finger that moves farther than this, in pixels, scrolls and does not press.
  const SLIP = 12;
  const TYPING = "input, textarea";
  const light = document.createElement("div");
  const pressed = { x: 0, y: 0, finger: false, out: 0 };
  light.id = "press";
  light.ariaHidden = "true";

  const buttonAt = (target) => target instanceof Element &&
    target.closest('flt-semantics[role="button"]:not([aria-disabled="true"])');
  const out = () => { light.style.display = "none"; };
  const outSoon = () => {
    clearTimeout(pressed.out);
    pressed.out = setTimeout(out, LIT_MS);
  };

  function show(button) {
    clearTimeout(pressed.out);
    const { x, y, width, height } = button.getBoundingClientRect();
    Object.assign(light.style, {
      left: `${x}px`, top: `${y}px`, width: `${width}px`, height: `${height}px`, display: "block",
    });
    if (!light.isConnected) document.body.append(light);
  }

  const on = (event, act) => addEventListener(event, act, { capture: true, passive: event !== "mousedown" });
  on("pointerdown", ({ target, clientX, clientY, pointerType }) => {
    Object.assign(pressed, { x: clientX, y: clientY, finger: pointerType !== "mouse" });
    const button = buttonAt(target);
    if (button) show(button);
  });
  on("pointermove", ({ clientX, clientY }) => {
    if (Math.hypot(clientX - pressed.x, clientY - pressed.y) > SLIP) out();
  });
  on("pointerup", outSoon);
  on("pointercancel", out);

  // While a field is typed in, a touch elsewhere moves the focus as usual and so leaves the field.
  const keepsFocus = () => pressed.finger && !document.activeElement?.matches(TYPING);
  on("mousedown", (event) => { if (buttonAt(event.target) && keepsFocus()) event.preventDefault(); });
  // The drawing engine asks before it lets a click move the focus (see mobile/publish/patch.py).
  globalThis.benchTouched = ({ pointerType }) => Boolean(pointerType) && keepsFocus();
}
