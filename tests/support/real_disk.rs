//! A disk of a test that is the real one in all but what the test is about.

/// The methods of a disk that a test leaves as they are on the real disk.
macro_rules! real_disk {
    ($($method:ident),+ $(,)?) => { $($crate::real_disk::real_disk!(@ $method);)+ };
    (@ open) => {
        fn open(&self, folder: &std::path::Path) -> Result<stemclock::app::Found, String> {
            stemclock::app::RealDisk.open(folder)
        }
    };
    (@ create) => {
        fn create(&self, folder: &std::path::Path, info: &stemclock::garage::GarageInfo) -> Result<(), String> {
            stemclock::app::RealDisk.create(folder, info)
        }
    };
    (@ save) => {
        fn save(
            &self,
            folder: &std::path::Path,
            change: &stemclock::edit::Change,
        ) -> Result<Option<std::path::PathBuf>, String> {
            stemclock::app::RealDisk.save(folder, change)
        }
    };
    (@ save_unless_met) => {
        fn save_unless_met(
            &self,
            folder: &std::path::Path,
            change: &stemclock::edit::Change,
        ) -> Result<stemclock::store::Outcome, String> {
            stemclock::app::RealDisk.save_unless_met(folder, change)
        }
    };
    (@ save_elsewhere) => {
        fn save_elsewhere(
            &self,
            from: Option<&std::path::Path>,
            to: &std::path::Path,
            garage: &stemclock::garage::Garage,
        ) -> Result<Vec<String>, String> {
            stemclock::app::RealDisk.save_elsewhere(from, to, garage)
        }
    };
    (@ copy_sample) => {
        fn copy_sample(&self, to: &std::path::Path) -> Result<(), String> {
            stemclock::app::RealDisk.copy_sample(to)
        }
    };
    (@ photo) => {
        fn photo(
            &self,
            folder: &std::path::Path,
            machine: &stemclock::machine::MachineId,
            name: &str,
        ) -> Result<Vec<u8>, String> {
            stemclock::app::RealDisk.photo(folder, machine, name)
        }
    };
    (@ make_folder) => {
        fn make_folder(&self, folder: &std::path::Path) -> Result<(), String> {
            stemclock::app::RealDisk.make_folder(folder)
        }
    };
    (@ write_file) => {
        fn write_file(&self, path: &std::path::Path, bytes: &[u8]) -> Result<(), String> {
            stemclock::app::RealDisk.write_file(path, bytes)
        }
    };
    (@ read_text) => {
        fn read_text(&self, path: &std::path::Path) -> Result<Option<String>, String> {
            stemclock::app::RealDisk.read_text(path)
        }
    };
}
pub(crate) use real_disk;
