export { figureSvg } from "./lib/figures/svg/figureSvg.ts";
export * from "./lib/index.ts";
export { stateMoments } from "./lib/figures/stateMoments.ts";
