import * as lib from "/tmp/gal.mjs";
import { galleryFigures } from "./tests/tools/galleryFigures.mjs";
import fs from "fs";
const plotly=fs.readFileSync("node_modules/plotly.js-basic-dist-min/plotly-basic.min.js","utf8");
const figs=await galleryFigures(lib);
let html="",data=[];
for(const width of [340,700]) figs.forEach(([name,f],i)=>{const fig=f({width});const s=lib.figureSvg(fig,{width,id:"f"+i+"-"+width});console.log(width,name,s.length);
html+=`<h3>${name} ${s.length}</h3><div style="display:flex;gap:20px"><div>${s}</div><div id="p${i}-${width}" style="width:${width}px"></div></div>`;data.push(["p"+i+"-"+width,fig,width]);});
fs.writeFileSync("/tmp/gal.html",`<meta charset=utf-8><body style="background:#fff">${html}<script>${plotly.replace(/<\/script/gi,"<\\/script")}</script><script>for(const [id,f,w] of ${JSON.stringify(data).replace(/</g,"\\u003c")}) Plotly.newPlot(id,f.data,{...f.layout,width:w},{...f.config,responsive:false});</script>`);
