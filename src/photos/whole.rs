//! Is a picture's file there to its end?
//!
//! In: bytes that begin as a picture of some kind. Out: whether the picture ends before the file
//! does. A decoder may well read a file that was cut short without a word and show grey.

/// Does the scan of a JPEG end? In it every `FF` is followed by a nought or a restart, so `FF D9`
/// is its end.
pub(super) fn jpeg(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some([0xff, marker]) = bytes.get(at..at + 2) {
        match marker {
            0xff => at += 1,
            0x01 | 0xd0..=0xd8 => at += 2,
            0xda => {
                return bytes
                    .get(at..)
                    .is_some_and(|scan| scan.windows(2).any(|two| two == [0xff, 0xd9]));
            }
            _ => match bytes.get(at + 2..at + 4) {
                Some([high, low]) => {
                    at += 2 + usize::from(u16::from_be_bytes([*high, *low])).max(2);
                }
                _ => return false,
            },
        }
    }
    false
}

/// Do the chunks of a PNG reach `IEND`?
pub(super) fn png(bytes: &[u8]) -> bool {
    let mut rest = bytes.get(8..).unwrap_or_default();
    while let Some((length, behind)) = rest.split_first_chunk::<4>() {
        let length = u32::from_be_bytes(*length) as usize;
        // The name before, the check sum behind.
        let Some(next) = length.checked_add(8).and_then(|whole| behind.get(whole..)) else {
            return false;
        };
        if behind.starts_with(b"IEND") {
            return true;
        }
        rest = next;
    }
    false
}

/// Is a WebP as long as it says?
pub(super) fn webp(bytes: &[u8]) -> bool {
    let length = bytes
        .get(4..8)
        .and_then(|four| four.first_chunk::<4>())
        .map(|four| u32::from_le_bytes(*four));
    length.is_some_and(|length| bytes.len() as u64 >= u64::from(length) + 8)
}
