//! x
fn main(){
 let dir=std::env::args().nth(1);
 let t=std::time::Instant::now();
 let files=match dir{Some(d)=>lynchet::catalogue::from_folder(std::path::Path::new(&d)).unwrap(),None=>lynchet::catalogue::embedded()};
 let (c,f)=lynchet::catalogue::check(&files);
 for x in &f{println!("{x}");}
 println!("{} types, {} faults, {:?}",c.types.len(),f.len(),t.elapsed());
}
