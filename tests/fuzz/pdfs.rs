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

    /// The same report with its parts unpacked, so that words and lines of the pages can be exchanged.
    fn unpacked(report: &[u8]) -> Vec<u8> {
        let mut document = lopdf::Document::load_mem(report).unwrap();
        document.decompress();
        let mut bytes = Vec::new();
        document.save_to(&mut bytes).unwrap();
        bytes
    }

    /// PDFs of parts that our own never have: objects packed together, attachments in a tree, two records, text in other
    /// packings, a file that asks for a password (ISO 32000-1, 7.4, 7.5.7, 7.6 and 7.9.6).
    fn by_hand() -> Vec<Vec<u8>> {
        let stream = |entries: &str, content: &str| {
            format!("<< {entries} /Length {} >>\nstream\n{content}\nendstream", content.len())
        };
        let plain = |catalog: &str, more: &[&str]| {
            let mut objects = vec![catalog.to_owned(), "<< /Type /Pages /Kids [3 0 R] /Count 1 >>".into()];
            let resources = "/Resources << /Font << /F 4 0 R >> /XObject << /P 5 0 R >> >> /Contents 6 0 R";
            objects.push(format!("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] {resources} >>"));
            objects.push("<< /Type /Font /Subtype /Type0 /Encoding /Identity-H /ToUnicode 7 0 R >>".into());
            objects.push(stream("/Subtype /Image /Filter /DCTDecode", "none"));
            objects.push(stream("/Filter /ASCIIHexDecode", "4254202F46203132205466203C303030313E20546A204554>"));
            let letters =
                "1 begincodespacerange <0000> <FFFF> endcodespacerange 1 beginbfrange <0001> <0009> <0041> endbfrange";
            objects.push(stream("", letters));
            objects.extend(more.iter().map(|object| (*object).to_owned()));
            pdf(&objects.into_iter().map(String::into_bytes).collect::<Vec<_>>())
        };
        let spec = "<< /Type /Filespec /UF (stemclock-record.ron) /EF << /F 9 0 R >> >>";
        let record = "<< /Type /EmbeddedFile /Length 11 >>\nstream\n(schema: 1)\nendstream";
        let filters =
            "/Type /EmbeddedFile /Filter [/ASCII85Decode /LZWDecode] /DecodeParms << /Predictor 12 /Columns 4 >>";
        let twice = stream(filters, "J..)6T`?p&<!J9%_[umg\"B7/Z7KNXbN'S+,*Q/&\"OLT'F~>");
        let packed = stream("/Type /ObjStm /N 2 /First 10", "20 0 21 5 (hi) << /Kids [20 0 R] >>");
        let names = |tree: &str| format!("<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles {tree} >> >>");
        let tree = names("<< /Kids [<< /Names [(a) 8 0 R] >> << /Kids [10 0 R] >>] >>");
        let locked = String::from_utf8(plain(&names("8 0 R"), &[spec, record])).unwrap();
        let lock = "/Root 1 0 R /ID [<00> <00>] /Encrypt << /Filter /Standard /V 2 /R 3 /Length 128 /P -4 /O (12345678901234567890123456789012) /U (12345678901234567890123456789012) >>";
        vec![
            plain(&tree, &[spec, record, "<< /Names [(b) << /UF (b) /EF << /F 9 0 R >> >>] >>"]),
            plain(&names("<< /Names [(a) 8 0 R (b) 8 0 R] >>"), &[spec, record]),
            plain(&names("<< /Names [(a) 8 0 R] >>"), &[spec, &twice]),
            plain(&names("<< /Names [(a) 8 0 R] >>"), &[spec, record, &packed]),
            locked.replacen("/Root 1 0 R", lock, 1).into_bytes(),
        ]
    }

    pub fn target() -> Target {
        let [report_alone, record] = report("standard-4c1f", "record");
        // Its record has a photo.
        let [with_photo, its_record] = report("tourer-b27e", "record");
        let bare = with_record(b"(schema: 1)");
        let open = unpacked(&report_alone);
        let mut seeds = vec![bare, record, report_alone, its_record, with_photo, open];
        seeds.extend(by_hand());
        Target {
            name: "reports",
            seeds,
            words: &[
                "/Kids [2 0 R]",
                "/Names [(a) 4 0 R]",
                "/Filter /FlateDecode",
                "/Filter [/ASCIIHexDecode /LZWDecode]",
                "/Type /ObjStm /N 9 /First 4",
                "/Filter /ASCII85Decode",
                "/Filter /DCTDecode",
                "/EF << /F 9 0 R >>",
                "/UF (stemclock-record.ron)",
                "/Kids [10 0 R]",
                "/ToUnicode 7 0 R",
                "/Encoding << /BaseEncoding /WinAnsiEncoding /Differences [1 /A] >>",
                "/Rotate 90",
                "/UserUnit 2",
                "made_with: \"0\"",
                "paper: Letter",
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
