import { rolldown } from "rolldown";
const plugin={name:"x",load:id=>id.endsWith("/kernelScript.ts")?"export const kernelInScript = null;":null};
const b=await rolldown({input:process.argv[2],platform:"node",plugins:[plugin]});
await b.write({file:process.argv[3],format:"esm"});
