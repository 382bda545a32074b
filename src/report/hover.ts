import { MPA_PER_KSI, type UnitChoice } from "../design/index.ts";
import type { StressScale } from "./stressScale.ts";
import { num } from "./svg.ts";
import type { Tessellation } from "./tessellate.ts";

/** One view the pointer can read: its flat triangles, its place on the sheet, the class of its outline path. */
export interface HoverView {
  readonly name: string;
  readonly tessellation: Tessellation;
  readonly box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number };
  /** Round window, which takes the pointer before any view without one. */
  readonly window?: { readonly x: number; readonly y: number; readonly radius: number };
  /** Where the stress is unbounded, and how far round it a value means nothing; sheet units. */
  readonly sharp?: { readonly x: number; readonly y: number; readonly radius: number };
}

/** Distance between stored values, sheet units. */
const STEP = 5;
/** Largest stored code; 0 is "no material here". */
const TOP = 65535;

/** Values on a square grid, 16 bits each, row after row; 0 outside the material. */
export function sampleGrid(view: HoverView): {
  columns: number;
  rows: number;
  max: number;
  codes: Uint16Array;
} {
  const { tessellation: t, box } = view;
  const columns = Math.floor((box.x1 - box.x0) / STEP) + 2;
  const rows = Math.floor((box.y1 - box.y0) / STEP) + 2;
  const sampled = new Float64Array(columns * rows).fill(-1);
  let max = 0;
  for (let k = 0; k < t.triangles.length; k += 3) {
    const a = t.triangles[k]!;
    const b = t.triangles[k + 1]!;
    const c = t.triangles[k + 2]!;
    const ax = (t.x[a]! - box.x0) / STEP;
    const ay = (t.y[a]! - box.y0) / STEP;
    const bx = (t.x[b]! - box.x0) / STEP;
    const by = (t.y[b]! - box.y0) / STEP;
    const cx = (t.x[c]! - box.x0) / STEP;
    const cy = (t.y[c]! - box.y0) / STEP;
    const i0 = Math.max(0, Math.ceil(Math.min(ax, bx, cx)));
    const i1 = Math.min(columns - 1, Math.floor(Math.max(ax, bx, cx)));
    const j0 = Math.max(0, Math.ceil(Math.min(ay, by, cy)));
    const j1 = Math.min(rows - 1, Math.floor(Math.max(ay, by, cy)));
    const twice = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay);
    if (i0 > i1 || j0 > j1 || twice === 0) continue;
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        const p = ((i - ax) * (cy - ay) - (cx - ax) * (j - ay)) / twice;
        const q = ((bx - ax) * (j - ay) - (i - ax) * (by - ay)) / twice;
        if (p < -1e-9 || q < -1e-9 || p + q > 1 + 1e-9) continue;
        const v = Math.max(0, (1 - p - q) * t.value[a]! + p * t.value[b]! + q * t.value[c]!);
        sampled[j * columns + i] = v;
        if (v > max) max = v;
      }
    }
  }
  const codes = new Uint16Array(sampled.length);
  for (let k = 0; k < codes.length; k++) {
    if (sampled[k]! >= 0) codes[k] = 1 + Math.round((sampled[k]! / (max || 1)) * (TOP - 1));
  }
  return { columns, rows, max, codes };
}

/**
 * A read-out under the pointer: stored values and a small script, nothing fetched. A viewer that ignores
 * scripts shows the drawing unchanged. Only numbers and fixed words go into the script, never the user's text.
 */
export function hoverScript(views: readonly HoverView[], scale: StressScale, units: UnitChoice): string {
  const data = views.map((view) => {
    const { columns, rows, max, codes } = sampleGrid(view);
    const bytes = Buffer.alloc(2 * codes.length);
    for (let k = 0; k < codes.length; k++) bytes.writeUInt16LE(codes[k]!, 2 * k);
    const w = view.window;
    const s = view.sharp;
    return (
      `{n:"${view.name}",x:${num(view.box.x0)},y:${num(view.box.y0)},c:${columns},r:${rows},m:${Number(max.toPrecision(8))},` +
      `w:${w ? `[${num(w.x)},${num(w.y)},${num(w.radius)}]` : "null"},` +
      `s:${s ? `[${num(s.x)},${num(s.y)},${num(s.radius)}]` : "null"},d:"${bytes.toString("base64")}"}`
    );
  });
  const say = { metric: 1, inch: 2, both: 3 }[units];
  return (
    `<script>//<![CDATA[\n(function(){var V=[${data.join(",")}],` +
    `full=${Number(scale.full.toPrecision(8))},ksi=${MPA_PER_KSI},say=${say},of="${scale.basis}",STEP=${STEP},TOP=${TOP};\n` +
    `${READ_OUT}\n})();\n//]]></script>`
  );
}

/** Runs in the viewer. Bilinear between stored values, leaving out corners without material. */
const READ_OUT = `var here=document.currentScript,svg=here&&here.ownerSVGElement||document.documentElement,ns="http://www.w3.org/2000/svg";
V.forEach(function(v){var b=atob(v.d);v.q=function(i,j){if(i<0||j<0||i>=v.c||j>=v.r)return 0;var k=2*(j*v.c+i);return b.charCodeAt(k)+256*b.charCodeAt(k+1);};v.o=svg.querySelector("."+v.n);});
function make(name,parent,set){var e=document.createElementNS(ns,name);for(var k in set)e.setAttribute(k,set[k]);parent.appendChild(e);return e;}
var g=make("g",svg,{"pointer-events":"none",display:"none"}),box=make("rect",g,{width:150,height:34,rx:2,fill:"#fff",stroke:"#1b2430","stroke-width":0.8}),one=make("text",g,{"font-size":12,"font-weight":"bold",x:7,y:14,fill:"#1b2430"}),two=make("text",g,{"font-size":10.5,x:7,y:28,fill:"#1b2430"});
function fig(x){return String(Number(x.toPrecision(3)));}
function read(v,x,y){var a=(x-v.x)/STEP,b=(y-v.y)/STEP,i=Math.floor(a),j=Math.floor(b),sum=0,all=0;for(var k=0;k<4;k++){var p=k%2,r=k>1?1:0,q=v.q(i+p,j+r),w=(p?a-i:1-a+i)*(r?b-j:1-b+j);if(q>0){sum+=w*(q-1);all+=w;}}return all>0.02?sum/all/(TOP-1)*v.m:-1;}
svg.addEventListener("pointermove",function(e){var p=svg.createSVGPoint();p.x=e.clientX;p.y=e.clientY;p=p.matrixTransform(svg.getScreenCTM().inverse());var hit=null;
V.forEach(function(v){if(hit&&hit.w)return;if(v.w){if(Math.hypot(p.x-v.w[0],p.y-v.w[1])>v.w[2])return;}if(v.o&&v.o.isPointInFill&&!v.o.isPointInFill(p))return;hit=v;});
var s=hit?read(hit,p.x,p.y):-1;if(s<0){g.setAttribute("display","none");return;}
if(hit.s&&Math.hypot(p.x-hit.s[0],p.y-hit.s[1])<hit.s[2]){one.textContent="unbounded (sharp corner)";two.textContent="see the averaged stress";}else{one.textContent=(say!==2?fig(s)+" MPa":"")+(say===3?"  ("+fig(s/ksi)+" ksi)":say===2?fig(s/ksi)+" ksi":"");two.textContent=fig(100*s/full)+" % of "+of;}
g.setAttribute("display","inline");var width=14+Math.max(one.getComputedTextLength(),two.getComputedTextLength());box.setAttribute("width",width);
g.setAttribute("transform","translate("+Math.min(p.x+14,1186-width)+" "+Math.max(16,p.y-46)+")");});
svg.addEventListener("pointerleave",function(){g.setAttribute("display","none");});`;
