//! scratch
#[path = "../tests/clearance/curves.rs"]
mod curves;
use linkfold::clearance::*;
use linkfold::curve::*;
use std::time::Instant;
fn main() {
    for n in [8,25,32,128]{
        let (c, _) = curves::chain_pair(n);
        let t = Tree::new(&c);
        println!("pieces {} reach {} len {}", c.pieces().len(), t.reach(), c.length());
        for k in 0..24 {
            let z = 0.3*k as f64;
            let p = Pose::translation(0.05,0.02,z);
            let r = nearest(&t,&Pose::identity(),&t,&p);
            let q = Query{tolerance:1e-3, hint:Some(r.hint), ..Default::default()};
            let m = 20000;
            let s=Instant::now(); for _ in 0..m { std::hint::black_box(nearest(&t,&Pose::identity(),&t,std::hint::black_box(&p)));} let e1=s.elapsed().as_secs_f64()/m as f64*1e6;
            let s=Instant::now(); for _ in 0..m { std::hint::black_box(nearest_within(&t,&t,std::hint::black_box(&p),q));} let e2=s.elapsed().as_secs_f64()/m as f64*1e6;
            println!("z {z:.2} d {:.6} width {:.1e} exact {e1:.2}us hinted {e2:.2}us", r.distance_at_most, r.distance_at_most-r.distance_at_least);
        }
    }
}
