//! The answer to each task of a run sheet, given as a person would: by its fields and buttons.

use thirtyfour::By;
use tokio::time::Instant;

use crate::phone::Phone;

/// The form of the task that is asked for now.
pub(crate) const TASK: &str = "#task form:has(input[name='do'][value='done'])";

/// The title of the task that is asked for now; empty when none is.
pub(crate) async fn task(phone: &Phone) -> String {
    phone.text("#task h2.task").await
}

/// Whether the task that is asked for is to wait until something has settled, and the records do not
/// know that it has.
pub(crate) async fn waits(phone: &Phone) -> bool {
    phone.question().await.starts_with("settle-") && is_empty(phone, "#task #r").await
}

async fn is_empty(phone: &Phone, css: &str) -> bool {
    phone.find(css).await.value().await.unwrap().is_none_or(|value| value.is_empty())
}

/// Comes in with a name and a passphrase.
pub(crate) async fn come_in(phone: &Phone, name: &str, phrase: &str) {
    phone.open("/enter").await;
    phone.fill("#name", name).await;
    phone.fill("#phrase", phrase).await;
    phone.press("form:has(#phrase) button").await;
    phone.until("footer", name).await;
}

/// Says of the thing that a break asks for that it is put down.
pub(crate) async fn put_down(phone: &Phone) {
    const PUT: &str = "#task form:has(input[name='do'][value='put'])";
    let before = phone.question().await;
    let yes = format!("{PUT} button[value='yes']");
    if phone.count(&yes).await == 1 {
        phone.press(&yes).await;
    } else {
        phone.fill(&format!("{PUT} #r"), "8").await;
        choose_unit(phone, PUT).await;
        phone.press(&format!("{PUT} button")).await;
    }
    phone.until_asked_other(&before).await;
}

/// Goes on after a break: the recap is read, everything is put down, and the work goes on.
pub(crate) async fn take_up(phone: &Phone) {
    phone.until("#task", "Recap: ").await;
    let before = phone.question().await;
    phone.press_words("I have looked: go on").await;
    phone.until_asked_other(&before).await;
    while phone.text("#task").await.contains("PUT IT DOWN") {
        put_down(phone).await;
    }
    if phone.text("#task").await.contains("The work goes on") {
        let before = phone.question().await;
        phone.press_words("The work goes on").await;
        phone.until_asked_other(&before).await;
    }
    phone.until("#task", " of ").await;
}

/// Whether a task waits for an answer.
pub(crate) async fn asked(phone: &Phone) -> bool {
    phone.count(TASK).await == 1
}

/// Begins the sheet that is open.
pub(crate) async fn begin(phone: &Phone) {
    phone.press_words("Begin the sheet").await;
    phone.until("#task", "1 of ").await;
}

/// Does the task that is asked for, with a reading that passes. Gives its title.
pub(crate) async fn answer(phone: &Phone) -> String {
    answer_at(phone).await.0
}

/// The same, with the moment at which the button was pressed.
pub(crate) async fn answer_at(phone: &Phone) -> (String, Instant) {
    let title = task(phone).await;
    let before = phone.question().await;
    fill(phone, &title).await;
    let at = Instant::now();
    let pass = format!("{TASK} button[value='yes'], {TASK} button[value='dry']");
    if phone.count(&pass).await == 1 {
        phone.press(&pass).await;
    } else {
        phone.press(&format!("{TASK} button")).await;
    }
    phone.until_asked_other(&before).await;
    (title, at)
}

/// Writes what the fields ask for, going by their labels.
async fn fill(phone: &Phone, title: &str) {
    let labels = phone.driver.find_all(By::Css(format!("{TASK} label").as_str())).await.unwrap();
    for label in labels {
        let words = label.text().await.unwrap();
        let id = label.attr("for").await.unwrap().unwrap_or_else(|| panic!("{title}: {words}"));
        let field = format!("{TASK} #{id}");
        // Everybody whom a reading names.
        if id.starts_with("who-") {
            phone.press(&field).await;
            continue;
        }
        // What the records know is offered, and stays.
        if is_empty(phone, &field).await {
            phone.find(&field).await.send_keys(text(&words, title)).await.unwrap();
        }
    }
    choose_unit(phone, TASK).await;
}

/// Where no unit is offered first, it is for a person to choose.
async fn choose_unit(phone: &Phone, form: &str) {
    let unit = format!("{form} select[name='u']");
    if phone.count(&unit).await == 1 && is_empty(phone, &unit).await {
        phone.choose(&unit, "L").await;
    }
}

/// What is typed into a field of a task, going by its label.
pub(crate) fn text<'a>(label: &str, title: &'a str) -> &'a str {
    match label {
        "Fuel delivered" => litres(title),
        "Dip" => "81",
        "Density" => "0.712",
        "Temperature" => "24",
        "Time waited" => "55",
        "Resistance in ohm" => "4",
        "Looks" => "clear",
        "Colour" => "blue",
        // Keys of a field for the time of day: hours, minutes, half of the day. The yard has the drum of
        // the main turnaround stand since then.
        "Time of day" => "0645AM",
        "Number of the ticket" => "N 4711",
        "Grade as you see or hear it" => "avgas 100LL",
        "In a few words" => "at the valve, the pilot",
        other => panic!("{title} asks for \"{other}\", and this test has no answer"),
    }
}

/// The litres that a task orders: "left wing: pump off at 50 L".
fn litres(title: &str) -> &str {
    title.rsplit_once(" at ").and_then(|(_, amount)| amount.split(' ').next()).unwrap_or("50")
}
