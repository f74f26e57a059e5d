pub(crate) fn run() -> Result<String, String> {
    Ok(String::new())
}
