//! A PDF that is verified.

use std::fs;
use std::process::Command;

use stemclock::report::content::verify;

use crate::driver::Target;
use crate::plain_pdf::pdf;

pub mod reports {
    use super::*;

    /// A PDF with a record in it (ISO 32000-1, 7.5 and 7.11.4), or the bytes themselves where they are a PDF.
    fn with_record(bytes: &[u8]) -> Vec<u8> {
        if bytes.starts_with(b"%PDF") {
            return bytes.to_vec();
        }
        let catalog = "<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles << /Names [(a) 4 0 R] >> >> >>";
        let spec = "<< /Type /Filespec /UF (stemclock-record.ron) /EF << /F 5 0 R >> >>";
        let head = format!("<< /Type /EmbeddedFile /Length {} >>\nstream\n", bytes.len());
        let objects: [Vec<u8>; 5] = [
            catalog.into(),
            "<< /Type /Pages /Kids [3 0 R] /Count 1 >>".into(),
            "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] >>".into(),
            spec.into(),
            [head.as_bytes(), bytes, b"\nendstream"].concat(),
        ];
        pdf(&objects)
    }

    /// A report of the sample garage, and its record.
    fn report(machine: &str, kind: &str) -> [Vec<u8>; 2] {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("report.pdf");
        let garage = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-garage");
        let done = Command::new(env!("CARGO_BIN_EXE_stemclock"))
            .args(["report", garage, "--machine", machine, "--kind", kind, "--on", "2026-11-25", "--out"])
            .arg(&out)
            .output()
            .unwrap();
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        let file = fs::read(out).unwrap();
        let verified = verify(&file).unwrap();
        assert!(verified.differences.is_empty());
        let record = verified.packet.text().unwrap();
        [file, record.into_bytes()]
    }

    pub fn target() -> Target {
        let [report, record] = report("standard-4c1f", "record");
        let bare = with_record(b"(schema: 1)");
        Target {
            name: "reports",
            seeds: vec![bare, record, report],
            words: &[
                "/Kids [2 0 R]",
                "/Names [(a) 4 0 R]",
                "/Filter /FlateDecode",
                "/Filter [/ASCIIHexDecode /LZWDecode]",
                "/Type /ObjStm /N 9 /First 4",
                "/Type /XRef /W [1 2 1]",
                "/Prev 0",
                "/Prev 9",
                "/Length 5 0 R",
                "/Length -1",
                "/DecodeParms << /Predictor 15 /Columns 99999999 >>",
                "<<",
                ">>",
                "[",
                "]",
                "(",
                ")",
                "1 0 R",
                "obj",
                "endobj",
                "stream\n",
                "endstream",
                "xref\n0 99999999\n",
                "trailer",
                "startxref\n0\n",
                "%%EOF",
                "/Encrypt << /V 4 /R 4 >>",
                "/Parent 3 0 R",
                "/Annots [3 0 R]",
                "/OpenAction 5 0 R",
                "BT",
                "Tj",
                "cm",
                "q",
                "photos: [",
                "Some(",
                "None",
                "findings: [",
                "NaN",
                "\"1e308 psi\"",
                "\"+262143-01-01\"",
            ],
            most: 1 << 20,
            rounds: 40,
            run: Box::new(|bytes| match verify(&with_record(bytes)) {
                Ok(verified) => {
                    let told: String = verified.differences.iter().take(3).map(ToString::to_string).collect();
                    assert!(told.len() < 4000, "{told}");
                    format!("{:?} {told}", verified.verified)
                }
                Err(error) => {
                    let words = error.to_string();
                    assert!(words.len() < 4000, "{words}");
                    words
                }
            }),
        }
    }
}
