import { ink, lines } from "../figures/look.ts";

const halo = "text-shadow: 0 0 2px #fff, 0 0 3px #fff, 0 0 4px #fff, 0 0 5px #fff;";
const ring = `outline: 3px solid ${lines.emitter.color}; outline-offset: 2px;`;

/** What a live page has over a report's style sheet: pictures with handles on them. On paper the handles are plain words. */
export const livePageStyle: string = `
/* while a hand pulls or time runs, what is out of sight waits */
@media screen { .pulled main > section:not(.top), .running main > section:not(.top) { content-visibility: auto; contain-intrinsic-size: auto 1400px; } }
.unseen { position: absolute; width: 1px; height: 1px; margin: -1px; overflow: hidden; clip-path: inset(50%); }
.live-only { display: none; }
#as-filed:empty { display: none; }
.awake .live-only { display: revert; }
.live #headline { min-height: 2.44em; }
.live #moment { min-height: 2.56em; margin: 18px 0 4px; font-size: 19px; }
.live #answer { min-height: 3.1em; }
.live #why { min-height: 4.65em; }
.storms { display: flex; flex-wrap: wrap; gap: 2px 18px; align-items: baseline; max-width: none; margin: 0 0 8px; }
.storms button, button.word { font: inherit; border: 0; background: none; padding: 3px 0; color: ${lines.pit.color}; text-decoration: underline; text-underline-offset: 4px; cursor: pointer; text-align: left; }
.storms button[aria-pressed=true] { color: ${ink.text}; font-weight: 600; text-decoration: none; }
.hint { color: ${ink.soft}; font-size: 14px; max-width: none; margin: 0 0 4px; }
.sign { vertical-align: -5px; }
input#code { font: inherit; font-size: 14px; border: 1px solid ${ink.rule}; border-radius: 4px; padding: 2px 6px; }
.saves summary { padding: 2px 0; font-size: 15px; }
details.saves { margin: 0; }
#changed { font-size: 14px; max-width: none; margin: 0 0 4px; }
#refusal { color: ${lines.emitter.color}; font-size: 14px; margin: 0; max-width: none; }
.behind #answer, .behind #live-answers, .behind .marks { opacity: 0.35; }
#why { margin-top: 14px; font-size: 17px; }
.awake .top .picture { contain: layout size style; position: relative; user-select: none; -webkit-user-select: none; }
.deeds { display: flex; flex-wrap: wrap; gap: 0 20px; max-width: none; margin: 0; font-size: 15px; }
.awake .deeds { display: flex; }
.drawing { position: absolute; left: 0; top: 0; }
.drawing svg { display: block; overflow: visible; }
#level .drawing { cursor: crosshair; }
.marks { position: absolute; left: 0; top: 0; }
.marks svg { display: block; }
.picture button.mark { position: absolute; left: 0; top: 0; transform: translateX(-50%); min-width: 44px; min-height: 44px; border: 0; background: none; padding: 0 2px 14px; font-size: 13px; white-space: nowrap; color: ${lines.pit.color}; text-decoration: underline; text-underline-offset: 3px; }
.handle { position: absolute; left: 0; top: 0; display: flex; align-items: center; gap: 4px; height: 22px; pointer-events: none; font-size: 13px; line-height: 16px; font-weight: 600; white-space: nowrap; border-radius: 11px; z-index: 2; transform: translate(-11px, -11px); }
.grip { position: relative; flex: none; width: 22px; height: 22px; touch-action: none; pointer-events: auto; }
.grip::before { content: ""; position: absolute; inset: -11px; }
.handle .words { pointer-events: auto; }
.handle .knob { flex: none; display: block; overflow: visible; filter: drop-shadow(0 1px 1.5px rgba(34,48,58,0.35)); }
.handle .words { ${halo} }
.handle.up .grip { cursor: ns-resize; }
.handle.across .grip { cursor: ew-resize; }
.handle.below .grip { cursor: pointer; }
.running .handle.below .knob circle { fill: #fdf3d8; }
.handle.left { flex-direction: row-reverse; transform: translate(calc(-100% + 11px), -11px); }
.handle.around { transform: translate(-50%, -50%); font-weight: 500; }
.handle.below { flex-direction: column; gap: 1px; height: auto; transform: translate(-50%, -11px); }
.handle.below .words { background: #fff; padding: 0 3px; }
.handle:hover .knob circle, .handle.held .knob circle { fill: #fdf3d8; }
.handle.held { z-index: 4; }
.handle:focus-visible, .picture button:focus-visible, .storms button:focus-visible, button.word:focus-visible, pre:focus-visible { ${ring} }
.hour-line { position: absolute; left: 0; top: 0; width: 0; border-left: 1.4px solid ${ink.text}; pointer-events: none; z-index: 1; }
.dots i { position: absolute; left: 0; top: 0; width: 9px; height: 9px; margin: -4.5px; border-radius: 50%; border: 1.5px solid #fff; pointer-events: none; }
.dots i[hidden] { display: none; }
.chambers, .lid { position: absolute; left: 0; top: 0; transform: translate(-50%, -50%); z-index: 2; font-size: 13px; font-weight: 600; white-space: nowrap; }
.chambers { display: flex; align-items: center; gap: 6px; }
.picture button { font: inherit; color: inherit; background: #fff; border: 1.6px solid currentColor; cursor: pointer; position: relative; }
.picture button.round { width: 24px; height: 24px; border-radius: 50%; padding: 0; line-height: 18px; font-size: 17px; }
.picture button[aria-disabled=true] { opacity: 0.45; cursor: default; }
.picture button.lid { position: absolute; border-radius: 12px; height: 24px; padding: 0 9px; line-height: 20px; font-size: 13px; }
.picture button.lid[aria-pressed=true] { background: ${lines.emitter.color}; color: #fff !important; border-color: ${lines.emitter.color}; }
.picture button:hover { background: #fdf3d8; }
.picture button::after { content: ""; position: absolute; inset: -8px -5px; }
.leader { position: absolute; left: 0; top: 0; width: 0; border-left: 1px solid currentColor; pointer-events: none; }
.typed { position: absolute; z-index: 6; width: 178px; background: #fff; border: 1.5px solid ${ink.text}; border-radius: 6px; padding: 5px; box-shadow: 0 3px 12px rgba(34,48,58,0.25); }
.typed input { width: 100%; font: inherit; font-size: 16px; padding: 3px 6px; border: 1px solid ${ink.rule}; border-radius: 4px; color: ${ink.text}; }
.typed span { font-size: 12px; color: ${ink.soft}; }
.refusal { position: absolute; z-index: 5; margin: 0; background: #fff; border: 1.5px solid ${lines.emitter.color}; border-radius: 6px; padding: 6px 10px; font-size: 13.5px; line-height: 1.35; color: ${ink.text}; box-shadow: 0 3px 12px rgba(34,48,58,0.2); }
.refusal[hidden], #changed[hidden], .lid[hidden], .leader[hidden] { display: none; }
pre { background: #f7f5f0; padding: 12px; overflow: auto; max-height: 420px; font-size: 13px; line-height: 1.4; }
@media screen and (max-width: 700px) {
  .live #headline { min-height: 6.1em; }
  .live #moment { min-height: 5.12em; }
  .live #answer { min-height: 9.3em; }
  .live #why { min-height: 11em; }
  .handle, .chambers, .lid, .picture button.lid { font-size: 12px; }
  .picture button.lid { padding: 0 6px; }
}
@media print {
  .live #headline, .live #moment, .live #answer, .live #why { min-height: 0; }
  .handle .knob, #section .handle, .picture button.round, .hour-line, .dots, .storms button:not([aria-pressed=true]), .typed, .refusal, .leader, .marks { display: none; }
  .handle.right, .handle.left { transform: translate(4px, -11px); }
  .handle.left { transform: translate(calc(-100% - 4px), -11px); }
  .picture button.lid { border: 0; color: ${lines.emitter.color} !important; background: none; }
}
`;
