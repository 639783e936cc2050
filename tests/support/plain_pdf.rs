//! A PDF written by hand, object by object.

/// A PDF of plain objects numbered from 1; the first is the catalog (ISO 32000-1, 7.5).
pub fn pdf(objects: &[Vec<u8>]) -> Vec<u8> {
    let mut file = b"%PDF-1.7\n".to_vec();
    let mut places = Vec::new();
    for (index, object) in objects.iter().enumerate() {
        places.push(file.len());
        file.extend(format!("{} 0 obj\n", index + 1).bytes());
        file.extend(object);
        file.extend(b"\nendobj\n");
    }
    let start = file.len();
    file.extend(format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1).bytes());
    for place in places {
        file.extend(format!("{place:010} 00000 n \n").bytes());
    }
    file.extend(format!("trailer\n<< /Size {} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF\n", objects.len() + 1).bytes());
    file
}
