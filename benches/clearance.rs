//! scratch
#[path = "../tests/clearance/curves.rs"]
#[allow(dead_code)]
mod curves;
use linkfold::clearance::*;
use linkfold::curve::*;
use std::time::Instant;
fn main() {
    for (n,z) in [(8,3.3),(25,3.3),(25,7.4),(128,3.3)]{
        let (c, _) = curves::chain_pair(n);
        let t = Tree::new(&c);
            let p = Pose::translation(0.05,0.02,z);
            let r = nearest(&t,&Pose::identity(),&t,&p);
            let q = Query{tolerance:1e-3, hint:Some(r.hint), ..Default::default()};
            let m = 5000;
            let (mut b1,mut b2)=(1e9f64,1e9f64);
            for _ in 0..20 {
            let s=Instant::now(); for _ in 0..m { std::hint::black_box(nearest(&t,&Pose::identity(),&t,std::hint::black_box(&p)));} let e1=s.elapsed().as_secs_f64()/m as f64*1e6;
            let s=Instant::now(); for _ in 0..m { std::hint::black_box(nearest_within(&t,&t,std::hint::black_box(&p),q));} let e2=s.elapsed().as_secs_f64()/m as f64*1e6;
            b1=b1.min(e1);b2=b2.min(e2);}
            println!("pieces {} z {z:.2} d {:.6} width {:.1e} exact {b1:.2}us hinted {b2:.2}us", c.pieces().len(), r.distance_at_most, r.distance_at_most-r.distance_at_least);
    }
}
