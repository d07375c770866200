package coldrolling
import ("testing";"math/rand";"fmt";"math")
var sqrt,atan,exp = math.Sqrt,math.Atan,math.Exp
func TestZ(t *testing.T){
 type rng struct{lo,hi float64}
 acc:=map[string][4]float64{}
 for range 200000 {
  u:=func(a,b float64)float64{return a+(b-a)*rand.Float64()}
  h0:=u(1.8,4); tot:=u(0,.8); h1:=h0*(1-tot); if h1<.35 {continue}
  r:=u(.05,.45)
  p:=Pass{h1/1e3,h1*(1-r)/1e3,u(.2,.3),u(.025,.08),0,0,0}
  p.Stress=LowCarbon().PassStress(h0,h1,h1*(1-r))
  if rand.Intn(2)==0 { x:=u(0,.2); p.Back=x*p.Stress; p.Front=p.Back*u(.8,1.2) }
  b:=p.Solve(BlandFord); if b.Capped||b.Skids||b.Neutral<.1*b.Bite {continue}
  hh:=p.Solve(Hill); if hh.Capped {continue}
  e:=100*(hh.Force/b.Force-1)
  w:=100*(work(&p,&hh)-work(&p,&b))/(p.Stress*math.Log(p.Entry/p.Exit))
  if p.Back==0 {continue}; k:="r<.1"; if r>.1{k="r.1-.2"}; if r>.2{k="r.2-.3"}; if r>.3 {k="r>.3"}
  if p.HillFactor(hh.FlatRadius)>1.7 {k+=" factor>1.7"} else if p.HillFactor(hh.FlatRadius)>1.4 {k+=" factor>1.4"}
  a,ok:=acc[k]; if !ok {a=[4]float64{99,-99,9999,-9999}}
  a[0]=min(a[0],e);a[1]=max(a[1],e); a[2]=min(a[2],w); a[3]=max(a[3],w)
  acc[k]=a
 }
 for k,v:=range acc { fmt.Println(k,v) }
 // gauss
 worst:=0.
 for range 20000 {
  u:=func(a,b float64)float64{return a+(b-a)*rand.Float64()}
  h1:=u(.3,6);r:=u(.05,.5)
  p:=Pass{h1/1e3,h1*(1-r)/1e3,u(.15,.5),u(.02,.12),u(300e6,900e6),0,0}
  p.Back=u(0,.4)*p.Stress;p.Front=u(0,.4)*p.Stress
  f:=p.Radius*u(1,3)
  g:=p.BlandFord(f)
  x:=p.fine(f)
  worst=max(worst,abs(g.Force/x.Force-1))
 }
 fmt.Println("gauss",worst)
}
func abs(x float64)float64{if x<0{return -x};return x}
func (p Pass) fine(flat float64) RigidGap {
 h1,h2:=p.Entry,p.Exit
 g:=p.BlandFord(flat)
 const n=2000
 s:=sqrt(flat/h2); H:=func(x float64)float64{return 2*s*atan(s*x)}
 sum:=0.0
 for i:=range n { x:=g.Bite*(float64(i)+.5)/n; h:=h2+flat*x*x
  a:=(p.Stress-p.Front)*h/h2*exp(p.Friction*H(x)); b:=(p.Stress-p.Back)*h/h1*exp(p.Friction*(H(g.Bite)-H(x)))
  if x<g.Neutral {sum+=a} else {sum+=b}
 }
 g.Force=flat*g.Bite*sum/n
 return g
}
