package coldrolling
import ("testing")
func TestX(t *testing.T){
 for _,c:=range [][6]float64{{2.5,1.8,.25,.06,550,0},{1.3,.95,.25,.04,700,0},{.8,.6,.25,.03,780,0},{.3,.21,.25,.03,800,0},{6,4.8,.2,.1,750,0},{2.5,1.8,.25,.06,550,1}}{
  p:=Pass{c[0]/1e3,c[1]/1e3,c[2],c[3],c[4]*1e6,c[5]*100e6,c[5]*100e6}
  g:=p.BlandFord(p.Radius); l:=p.Solve(BlandFord); h:=p.Solve(Hill)
  t.Logf("%v rigid %.4f hill %+.2f%% flat %.4f (%.3f) hill %+.2f%% phin/a %.3f torque %.2f lever %.3f", c, g.Force/1e6, 100*(p.Hill(p.Radius).Force/g.Force-1), l.Force/1e6,l.FlatRadius/p.Radius,100*(h.Force/l.Force-1), g.Neutral/g.Bite, g.Torque/1e3, g.Torque/g.Force/(g.Bite*p.Radius))
 }
 h:=[]float64{2.5,1.8,1.3,.98,.78,.70}; mu:=[]float64{.07,.06,.05,.04,.06}; s:=[]float64{40,130,150,170,180,45}
 for i:=range 5{
  k:=LowCarbon().PassStress(2.5,h[i],h[i+1])
  p:=Pass{h[i]/1e3,h[i+1]/1e3,.25,mu[i],k,s[i]*1e6,s[i+1]*1e6}
  l:=p.Solve(BlandFord); hl:=p.Solve(Hill)
  v:=20*.7/h[i+1]
  t.Logf("k %.1f F %.3f hill %.3f R %.3f T %.2f slip %.3f v %.2f P %.3f cheap %.3f fr%.2f loss %.3f", k/1e6,l.Force*1.2e-6,hl.Force*1.2e-6,l.FlatRadius/.25,l.Torque*2*1.2e-3,l.Slip,v,2*l.Torque*1.2*v/(1+l.Slip)/.25/1e6,2*hl.Torque*1.2*v/.25e6,l.Torque*2/.25/(1+l.Slip)/(p.Exit*(k*.0+p.Stress*0+1)),p.TensionLoss(BlandFord))
 }
}
