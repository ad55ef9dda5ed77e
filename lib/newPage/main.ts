import { startNewPage } from "./startNewPage.ts";

// What the browser runs: the page of a new yard, empty.
startNewPage();
