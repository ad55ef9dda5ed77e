import { FONT, ink, lines } from "../figures/look.ts";

/** What an exported notebook has over Jupyter's own style sheet: letters, ink and width of the other pages, and no counts of cells. */
export const notebookStyle: string = `
:root { --jp-content-font-family: ${FONT}; --jp-ui-font-family: ${FONT}; --jp-content-font-color1: ${ink.text}; --jp-content-font-size1: 16px; --jp-content-link-color: ${lines.pit.color}; }
body { background: #f7f5f0; }
main { max-width: 1128px; margin: 0 auto; padding: 24px; background: #fff; }
h1, h2, .jp-RenderedHTMLCommon h1, .jp-RenderedHTMLCommon h2 { font-family: "Iowan Old Style", "Palatino Linotype", Palatino, Georgia, "Liberation Serif", serif; font-weight: 600; line-height: 1.25; }
.jp-RenderedHTMLCommon p, .jp-RenderedHTMLCommon li { max-width: 68ch; }
.jp-InputPrompt, .jp-OutputPrompt, .jp-Cell-outputWrapper:not(:has(.jp-OutputArea-child)) { display: none; }
.jp-CodeMirrorEditor pre, .jp-OutputArea-output pre { white-space: pre-wrap; overflow-wrap: anywhere; }
`;
