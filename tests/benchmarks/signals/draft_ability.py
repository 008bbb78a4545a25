import numpy as np, math, sys, time
from math import log, exp, sqrt
from dataclasses import dataclass
from coaching.rules.plan import WeekKind, Pattern
from coaching.rules.volume import system_load
from tests.benchmarks.signals.detector import ClientLog, Reading, ExerciseReading
from math import erf
P=dict(sd_f=.008,tau_f=14.,sd_day=.020,sd_u=.030,sd_set=.013,q_level=.004,rate0=.0035,sd_rate=.004,q_rate=.0006,
 beta0=.95,sd_beta=.5,kap0=1.,sd_kap=.25,alpha0=9.2,sd_alpha=1.0,eff=.68,sd_eff=.8,sd_new=.12,rir=.8,out=.03,haz=1.5/365,
 depths=(.05,.08,.12),ramps=(7,14),maxage=45,missed=.5,feel=0.)
F,B,K,A,D,U=range(6); NB=6
def lf(r): return log(1+r/30)
from scipy.special import log_ndtr, ndtr
class Model:
    def __init__(s,p=None):
        s.p={**P,**(p or {})}; p=s.p
        s.mean=np.zeros((1,NB)); s.mean[0,[B,K,A]]=p['beta0'],p['kap0'],p['alpha0']
        s.cov=np.diag([p['sd_f']**2,p['sd_beta']**2,p['sd_kap']**2,p['sd_alpha']**2,0,0]).astype(float)
        s.idx={}; s.lw=np.zeros(1); s.onset=np.array([np.inf]); s.depth=np.zeros(1); s.ramp=np.ones(1); s.last=None; s.lastS={}
        s.rec=np.array([np.inf])
    def shift(s,t):
        sh=-s.depth*np.clip((t-s.onset)/s.ramp,0,1); sh[0]=0
        r=np.clip(t-s.rec,0,None)
        return np.where(np.isfinite(s.onset),sh*np.exp(-r/6.),0.)
    def add(s,key,y):
        n=s.mean.shape[1]; s.idx[key]=n
        s.mean=np.hstack([s.mean,np.full((len(s.mean),1),y),np.full((len(s.mean),1),s.p['rate0'])])
        c=np.zeros((n+2,n+2)); c[:n,:n]=s.cov; c[n,n]=s.p['sd_new']**2; c[n+1,n+1]=s.p['sd_rate']**2; s.cov=c
    def pred(s,dt):
        p=s.p; w=dt/7; lv=np.array(list(s.idx.values()),int)
        phi=exp(-dt/p['tau_f']); s.mean[:,F]*=phi
        if len(lv): s.mean[:,lv]+=w*s.mean[:,lv+1]
        T=np.eye(s.mean.shape[1]); T[F,F]=phi; T[lv,lv+1]=w
        T[D,D]=0;T[U,U]=0
        s.cov=T@s.cov@T.T
        s.cov[F,F]+=p['sd_f']**2*(1-phi**2); s.mean[:,D]=0; s.mean[:,U]=0
        s.cov[D,D]=p['sd_day']**2
        s.cov[lv,lv]+=p['q_level']**2*w; s.cov[lv+1,lv+1]+=p['q_rate']**2*w
        s.cov[B,B]+=.02**2*w; s.cov[A,A]+=.05**2*w
    def reset_u(s):
        s.mean[:,U]=0; s.cov[U,:]=0; s.cov[:,U]=0; s.cov[U,U]=s.p['sd_u']**2
    def obs(s,ix,co,y,noise,sh,csum,kind):
        across=s.cov[:,ix]@co; v=float(co@across[ix])+noise
        pr=s.mean[:,ix]@co+sh*csum
        if kind=='eq':
            e=y-pr; q=e*e/v
            l1=np.log(1-s.p['out'])-.5*(q+log(v)); v2=v+25*noise+.05**2
            l2=log(s.p['out'])-.5*(e*e/v2+log(v2))
            ll=np.logaddexp(l1,l2); w=np.exp(l1-ll)
            s.lw+=ll; s.mean+=np.outer(w*e/v,across); s.cov-=w[0]*np.outer(across,across)/v
        else:
            sd=sqrt(v); z=(pr-y)/sd
            lc=log_ndtr(z); lm=-.5*z*z-.9189385-lc; r=np.exp(lm)
            s.lw+=np.logaddexp(np.log(1-s.p['out'])+lc,log(s.p['out'])); 
            w=np.exp(np.log(1-s.p['out'])+lc-np.logaddexp(np.log(1-s.p['out'])+lc,log(s.p['out'])))
            s.mean+=np.outer(w*r/sd,across); s.cov-=w[0]*np.outer(across,across)*(r[0]*(r[0]+z[0]))/v
    def spawn(s,t,dt,sp):
        p=s.p; n=len(p['depths'])*len(p['ramps'])
        on=t-min(dt,7)*.5
        d=np.repeat(p['depths'],len(p['ramps'])); r=np.tile(p['ramps'],len(p['depths']))
        s.mean=np.vstack([s.mean,np.tile(s.mean[0],(n,1))])
        s.lw=np.concatenate([s.lw,np.full(n,s.lw[0]+log(p['haz']*min(dt,14)/n))])
        s.onset=np.concatenate([s.onset,np.full(n,on)]); s.depth=np.concatenate([s.depth,d]); s.ramp=np.concatenate([s.ramp,r.astype(float)])
        s.rec=np.concatenate([s.rec,np.full(n,np.inf)])
    def prune(s,t):
        keep=(~np.isfinite(s.onset))|((t-s.onset<s.p['maxage'])&(np.minimum(t-s.rec,99)<21)&(s.lw>s.lw.max()-14)); keep[0]=True
        for a in('mean','lw','onset','depth','ramp','rec'): setattr(s,a,getattr(s,a)[keep])
        s.lw-=s.lw.max()
def session_rows(log):
    plan={}
    for q in log.planned:
        d={}
        for pair in q.pairs:
            for x in pair.prescriptions: d[x.exercise.key]=(2*x.rest+40 if len(pair.prescriptions)>1 else x.rest, x)
        plan[q.on]=d
    return plan
class Ability:
    name="ability"
    def __init__(s,**p): s.p=p
    def read(s,log):
        m=Model(s.p); p=m.p; out=[]; plan=session_rows(log); t0=log.sessions[0].on if log.sessions else None; last=None
        attended={a.on:a.done for a in log.attendance}
        for ses in log.sessions:
            t=(ses.on-t0).days; dt=max(t-last,.5) if last is not None else 1.
            if last is not None: m.pred(dt)
            if dt>=8: m.rec=np.where(np.isfinite(m.rec),m.rec,np.where(np.isfinite(m.onset),t-dt+3,np.inf))
            if ses.kind is WeekKind.DELOAD: m.rec=np.where(np.isfinite(m.rec),m.rec,np.where(np.isfinite(m.onset),t,np.inf))
            last=t
            if t>21: m.spawn(t,dt,None)
            m.cov[D,D]=p['sd_day']**2
            sh=m.shift(t); groups={}
            for x in ses.sets:
                if not x.warm_up and x.amount>0 and x.exercise.pattern is not Pattern.PREHAB: groups.setdefault(x.exercise.key,[]).append(x)
            effrow=[];
            for key,sets in groups.items():
                S=[system_load(x.exercise,x.load,ses.body_weight) for x in sets]
                if min(S)<=0: continue
                # mistakes
                prev=m.lastS.get(key); bad=False
                if prev and not(.62<S[0]/prev<1.6): bad=True
                if any(x.amount>2.2*(x.target or x.amount)+6 for x in sets): bad=True
                if bad: continue
                m.lastS[key]=S[0]
                rest=plan.get(ses.on,{}).get(key,(120,None))[0]
                if key not in m.idx:
                    x=sets[0]; r=x.amount+(x.rir+.95 if x.rir is not None else 1.5)
                    m.add(key,log_(S[0])+lf(r))
                i=m.idx[key]; m.reset_u()
                fast=slow=0.
                for j,x in enumerate(sets):
                    base=log_(S[j])
                    a=m.mean[0,i]+m.mean[0,F]+m.mean[0,D]+m.mean[0,U]
                    R0=max(30*(exp(a-base)-1),1.)
                    Rj=R0*exp(-(fast+slow)*m.mean[0,K]); 
                    sl=1/(30+Rj); hj=(fast+slow)*Rj*sl
                    tgt=x.target if x.target is not None else 0
                    ix=[i,F,D,U,K]; co=[1.,1.,1.,1.,-hj]
                    if x.rir is not None:
                        r=x.amount+x.rir; nv=(p['rir']**2*(1+.15*x.rir)**2+1/6)*sl*sl+p['sd_set']**2
                        ix.append(B); co.append(-sl)
                        m.obs(ix,np.array(co),base+lf(r+.25),nv,sh,1.,'eq')
                    elif x.target is not None and x.amount<x.target:
                        nv=(p['missed']**2+1/12)*sl*sl+p['sd_set']**2
                        m.obs(ix,np.array(co),base+lf(x.amount+.7),nv,sh,1.,'eq')
                    elif x.amount>tgt and tgt and j==len(sets)-1:
                        nv=(1.0)*sl*sl+p['sd_set']**2
                        m.obs(ix,np.array(co),base+lf(x.amount+.8),nv,sh,1.,'eq')
                    else:
                        nv=p['sd_set']**2
                        m.obs(ix,np.array(co),base+lf(x.amount),nv,sh,1.,'ge')
                    near=min(1.,x.amount/max(Rj,1.))**3
                    fast=(fast+.75*near)*exp(-rest/90.); slow+=.11*near
                    effrow.append((i,base,(fast,slow),x.amount,Rj,x.rir))
            # effort
            if ses.rpe is not None and effrow and ses.kind is not WeekKind.DELOAD:
                N=len(effrow); row=np.zeros(m.mean.shape[1]); L=0.; cs=0.
                for i,base,_,n,Rj,_r in effrow:
                    a=m.mean[0,i]+m.mean[0,F]+m.mean[0,D]
                    R=Rj; L+=max(R-n,0.)/N
                    if R>n-1:
                        g=(30+R)/N; row[i]+=g; row[F]+=g; row[D]+=g; cs+=g
                if L<5.5:
                    row*=-p['eff']; cs*=-p['eff']; row[A]=1.
                    ix=np.nonzero(row)[0]; co=row[ix]
                    # value: rpe = alpha - eff*L(mean)   linearised at null
                    const=m.mean[0,A]-p['eff']*L-float(co@m.mean[0,ix])
                    m.obs(list(ix),co,ses.rpe-const,p['sd_eff']**2+.08,sh-0, cs-p['feel'],'eq')
            m.prune(t)
            sh=m.shift(t); w=np.exp(m.lw-m.lw.max()); w/=w.sum()
            on=sh<-.012
            pr=float(w[on].sum())
            since=None
            if on.any():
                k=int(np.argmax(np.where(on,w,0))); from datetime import timedelta; since=t0+timedelta(days=float(m.onset[k]))
            sc=log_(pr+1e-12)-log_(1-pr+1e-12)
            out.append(Reading(on=ses.on,score=sc,probability=pr,since=since))
        return out
log_=math.log
if __name__=='__main__':
    from tests.benchmarks.signals.simulator import cohort
    from tests.benchmarks.signals.report import judge,show
    n=int(sys.argv[1]); kw=eval('dict('+(sys.argv[2] if len(sys.argv)>2 else '')+')')
    t=time.time(); tr=cohort(range(1000,1000+n)); te=cohort(range(9000,9000+n)); print('sim',time.time()-t)
    t=time.time(); r=judge(Ability(**kw),tr,te); print(show([r],te)); print(time.time()-t)
