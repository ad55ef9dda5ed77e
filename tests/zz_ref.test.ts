import { test } from "vitest";
import { readFileSync } from "node:fs";
import { readSite } from "/work/main/lib/site/readSite.ts";
import { simulate } from "/work/main/lib/simulate/simulate.ts";
import { hydrograph } from "/work/main/lib/runoff/hydrograph.ts";
const names:Record<string,string>={bank:'chamberBank',trench:'overflowTrench'};
for (const f of ['reference-runs.json','reference-runs-options.json'])
for (const c of JSON.parse(readFileSync('/work/shared/'+f,'utf8'))) test(c.id, () => {
  if (process.env.ONLY && !c.id.includes(process.env.ONLY)) return;
  const site=readSite(c.site);
  const nm=(k:string)=>k==='box'?(site.settlingBoxes.length>1?k:site.settlingBoxes[0].name):names[k]??k;
  const load:any={};
  if (c.inflow) load[nm('box')]=hydrograph({time:c.inflow.time_s,flow:c.inflow.flow_m3s});
  else for (const k in c.inflows) load[nm(k)]=hydrograph({time:c.inflows[k].time_s,flow:c.inflows[k].flow_m3s});
  const run=simulate(site,load,{until:c.end_s, tolerance: Number(process.env.TOL??1e-5)});
  const r=c.result; let out=c.id+' steps '+run.work.steps+' rej '+run.work.rejections+'\n';
  for (const k in r.levels) if(k!=='time_s'){ const b=nm(k.replace(/_m$/,'')); const l=run.levels(b,r.levels.time_s); let w=0,wi=0; l.forEach((x,i)=>{const e=Math.abs(x-r.levels[k][i]); if(e>w){w=e;wi=i}}); out+=`  ${b} worst ${(w*1e3).toFixed(5)} mm at ${r.levels.time_s[wi]}`; }
  out+='\n  fir '+run.firings.length+'/'+r.firings.length; let ws=0; r.firings.forEach((x:any,i:number)=>{const y=run.firings[i]; if(y){ws=Math.max(ws,Math.abs(y.start-x.start_s),x.end_s==null?0:Math.abs((y.end??1e9)-x.end_s)); if(x.volume_m3!==undefined&&Math.abs(x.volume_m3-y.volume)>1e-6) out+=` vol ${x.volume_m3} ${y.volume}`; if(x.peak_m3s!==undefined&&Math.abs(x.peak_m3s-y.peakFlow)>1e-8) out+=` pk ${x.peak_m3s} ${y.peakFlow}`}}); out+=` worst switch ${ws.toFixed(4)} s\n  ledger`;
  for (const k in r.ledger_m3){ const d=Math.abs((run.ledger as any)[k]-r.ledger_m3[k]); if (d>1e-8|| Number.isNaN(d)) out+=` ${k} ${d.toExponential(2)}`;}
  out+=` err ${run.ledger.error.toExponential(2)} of inflow ${run.ledger.inflow}`;
  if (r.groundwaterIn_m3) out+=JSON.stringify([r.groundwaterIn_m3,run.groundwaterIn]);
  if (r.peaks) for (const k in r.peaks) {const d=Math.abs(run.peaks[nm(k)].level-r.peaks[k].level_m); if(d>2e-5) out+=` PEAK ${k} ${d}`}
  out+='\n  drain '+JSON.stringify(run.drainDown);
  console.log(out);
});
