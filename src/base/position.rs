//! Positions as sailors write them: decimal degrees, or degrees and minutes, or those and seconds, with or without signs
//! between; a hemisphere's letter first or last, or a sign.

use std::ops::RangeInclusive;

/// A latitude, degrees, north positive, within -90 to 90: `-52.5`, `52.5S`, `52°30'S`, `S 52 30.0`.
///
/// # Errors
/// What is wrong with the text, in words.
pub fn latitude(text: &str) -> Result<f64, String> {
    let deg = one(text, ['N', 'S'])?;
    if deg.abs() <= 90.0 {
        Ok(deg)
    } else {
        Err(format!(
            "latitude {deg} does not lie within -90 to 90; it stands before longitude: are the two swapped?"
        ))
    }
}

/// A longitude, degrees, east positive, within -180 to 360: `179.5`, `180W`, `179°30'E`.
///
/// # Errors
/// What is wrong with the text, in words.
pub fn longitude(text: &str) -> Result<f64, String> {
    let deg = one(text, ['E', 'W'])?;
    if (-180.0..=360.0).contains(&deg) {
        Ok(deg)
    } else {
        Err(format!("longitude {deg} does not lie within -180 to 360"))
    }
}

/// A position as latitude and longitude, degrees: `52°30'S 179°30'W`, `52 30S, 179 30W`, `-52.5 -179.5`, `N52.5 W004.2`.
/// Latitude stands first unless the letters say otherwise.
///
/// # Errors
/// What is wrong with the text, in words.
pub fn position(text: &str) -> Result<(f64, f64), String> {
    let (first, second) = halves(text)?;
    let is_longitude = |half: &str| half.contains(['E', 'W', 'e', 'w']);
    if is_longitude(&first) && !is_longitude(&second) {
        return Ok((latitude(&second)?, longitude(&first)?));
    }
    Ok((latitude(&first)?, longitude(&second)?))
}

/// The two coordinates of a position: parted by a comma, by their letters, or in the middle of their numbers.
fn halves(text: &str) -> Result<(String, String), String> {
    let wrong = || {
        format!("`{text}` is no position such as \"52°30'S 179°30'W\", \"52 30S 179 30W\" or -52.5 -179.5")
    };
    if let Some((first, second)) = text.split_once([',', '/']) {
        return Ok((first.to_owned(), second.to_owned()));
    }
    let letters: Vec<usize> = text.char_indices().filter(|(_, c)| is_letter(*c)).map(|(at, _)| at).collect();
    let starts_with_letter = text.trim_start().starts_with(is_letter);
    match letters.as_slice() {
        [_, second] if starts_with_letter => Ok((text[..*second].to_owned(), text[*second..].to_owned())),
        [first, _] => Ok((text[..=*first].to_owned(), text[first + 1..].to_owned())),
        [] | [_] => {
            let words = words(text);
            // halves of as many numbers each
            if words.is_empty() || words.len() % 2 == 1 {
                return Err(wrong());
            }
            let (first, second) = words.split_at(words.len() / 2);
            Ok((first.join(" "), second.join(" ")))
        }
        _ => Err(wrong()),
    }
}

/// The words of a text, a letter that stands by itself joined to the word before it.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut().filter(|_| word.len() == 1 && word.starts_with(is_letter)) {
            Some(last) => last.push_str(word),
            None => words.push(word.to_owned()),
        }
    }
    words
}

fn is_letter(c: char) -> bool {
    "NSEWnsew".contains(c)
}

/// One coordinate; the first letter is positive.
fn one(text: &str, [positive, negative]: [char; 2]) -> Result<f64, String> {
    let wrong = || {
        format!("`{text}` is no angle such as -52.5, 52.5{negative}, 52°30'{negative} or {negative}52 30.0")
    };
    let bare = text.trim();
    let letters: Vec<char> =
        bare.chars().filter(char::is_ascii_alphabetic).map(|c| c.to_ascii_uppercase()).collect();
    let at_an_end = bare.starts_with(|c: char| c.is_ascii_alphabetic())
        || bare.ends_with(|c: char| c.is_ascii_alphabetic());
    let side = match letters.as_slice() {
        [] => None,
        [letter] if at_an_end && [positive, negative].contains(letter) => Some(*letter),
        _ => return Err(wrong()),
    };
    let numbers: String =
        bare.chars().filter(|c| !c.is_ascii_alphabetic()).map(|c| if is_mark(c) { ' ' } else { c }).collect();
    let numbers = numbers.trim();
    let (sign, numbers) = match numbers.strip_prefix(['-', '−']) {
        Some(rest) if side.is_none() => (-1.0, rest),
        Some(_) => return Err(wrong()),
        None => {
            (if side == Some(negative) { -1.0 } else { 1.0 }, numbers.strip_prefix('+').unwrap_or(numbers))
        }
    };
    let parts: Vec<&str> = numbers.split_whitespace().collect();
    let number = |text: &str| {
        text.parse::<f64>().ok().filter(|value| value.is_finite() && *value >= 0.0 && !text.starts_with('+'))
    };
    let whole = |text: &str| number(text).filter(|value| value.fract() == 0.0);
    let sixtieths: RangeInclusive<f64> = 0.0..=59.999_999_999;
    let part = |text: &str| number(text).filter(|value| sixtieths.contains(value));
    let deg = match parts.as_slice() {
        [deg] => number(deg),
        [deg, minutes] => whole(deg).zip(part(minutes)).map(|(deg, minutes)| deg + minutes / 60.0),
        [deg, minutes, seconds] => {
            let minutes = whole(minutes).filter(|value| sixtieths.contains(value));
            let parts = whole(deg).zip(minutes).zip(part(seconds));
            parts.map(|((deg, minutes), seconds)| deg + minutes / 60.0 + seconds / 3600.0)
        }
        _ => None,
    };
    deg.map(|deg| sign * deg + 0.0).ok_or_else(wrong)
}

/// Signs for degrees, minutes and seconds, as keyboards and documents have them.
fn is_mark(c: char) -> bool {
    "°º˚*'′’`\"″”:".contains(c)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: 30 minutes are half a degree, 36 seconds a hundredth.
    #[test]
    fn the_same_place_in_many_hands() {
        for text in [
            "-52.5 -179.5",
            "-52.5, -179.5",
            "52.5S 179.5W",
            "52.5s,179.5w",
            "S52.5 W179.5",
            "52°30'S 179°30'W",
            "52 30 S 179 30 W",
            "52 30.0S, 179 30.0W",
            "S 52°30.0′ W 179°30.0′",
            "52°30'00\"S 179°30'00\"W",
            "-52 30 -179 30",
            "52:30S 179:30W",
            "179.5W 52.5S",
            "W179°30' S52°30'",
            "-52.5 179.5W",
            "-52.5 179.5 W",
            "-52.5 / -179.5",
        ] {
            let (lat, lon) = position(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_relative_eq!(lat, -52.5, epsilon = 1e-12);
            assert_relative_eq!(lon, -179.5, epsilon = 1e-12);
        }
        assert_relative_eq!(latitude("48°00'36\"N").unwrap(), 48.01, epsilon = 1e-12);
        assert_relative_eq!(longitude("185").unwrap(), 185.0);
        assert_eq!(longitude("0W").unwrap().to_string(), "0");
    }

    #[test]
    fn what_is_no_position_is_told() {
        for text in [
            "",
            "52",
            "52S",
            "52S 179W 3",
            "52 30 10",
            "52.5.1 3",
            "52S 3S",
            "52 70S 10W",
            "52.5 30S 3W",
            "-52S 3W",
            "nan nan",
        ] {
            assert!(position(text).is_err(), "{text}: {:?}", position(text));
        }
        assert!(latitude("179.5").unwrap_err().contains("swapped"));
        assert!(latitude("10E").is_err());
        assert!(longitude("400").is_err());
    }
}
