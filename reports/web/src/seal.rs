//! What is under a key: nobody reads it from the page's source, nor changes it unseen, nor puts it into
//! another lesson.
//!
//! Argon2id (RFC 9106; 19 MiB, two passes, the least that OWASP's password storage sheet
//! names) makes the key, ChaCha20-Poly1305 (RFC 8439) seals and holds the seal to what it is bound to.
//! Someone who has the passphrase, or reads the memory of a page in which it was typed, reads what is
//! under it.

use argon2::{Algorithm, Argon2, Params, Version};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD as TEXT;
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{ChaCha20Poly1305, Key, Nonce};

/// Bytes of chance that a seal needs.
pub const CHANCE: usize = SALT + NONCE;
const SALT: usize = 16;
const NONCE: usize = 12;
/// Letters of a passphrase below which it is not taken (own choice): at 28 trials a second, one core, four
/// digits last six minutes, six lower-case letters four months; a word of a dictionary is no better.
const LEAST: usize = 12;
/// Bytes of chance of a passphrase that is made here: 80 bits.
pub const PHRASE: usize = 10;
/// Bytes of a receipt: 40 bits, each trial as slow as one of a passphrase.
const RECEIPT: usize = 5;
/// No letter here is taken for another.
const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";

/// How something is sealed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lock {
    /// Kibibytes, passes, lanes.
    cost: (u32, u32, u32),
    /// Every seal is this long inside, so that its length says nothing of what it holds.
    length: usize,
}

impl Lock {
    /// Under a passphrase that people may have made.
    pub const TYPED: Self = Self {
        cost: (19 * 1024, 2, 1),
        length: 1024,
    };
    /// Under a key that is made here: 80 bits of chance need no slowness.
    pub const MADE: Self = Self {
        cost: (8, 1, 1),
        length: 512,
    };
    /// The same with room for what may be found at once.
    pub const MADE_LONG: Self = Self {
        length: 2048,
        ..Self::MADE
    };
}

/// A passphrase of chance, in groups of four letters: `k3vx-…`.
pub fn passphrase(chance: &[u8; PHRASE]) -> String {
    lettered(chance)
}

/// What a trainer notes of an answer before the truth is told: it belongs to this text and, as far as
/// anybody can find in years, to no other.
///
/// # Errors
/// There is no memory to make it in.
pub fn receipt(text: &str) -> Result<String, String> {
    let hash = hashed(text, b"falseair receipt", Lock::TYPED)?;
    Ok(lettered(&hash[..RECEIPT]))
}

fn lettered(bytes: &[u8]) -> String {
    let bits = bytes
        .iter()
        .fold(0_u128, |bits, byte| bits << 8 | u128::from(*byte));
    let letter = |i: usize| char::from(LETTERS[(bits >> (5 * i)) as usize % LETTERS.len()]);
    let letters: Vec<char> = (0..8 * bytes.len() / 5).map(letter).collect();
    let groups: Vec<String> = letters.chunks(4).map(String::from_iter).collect();
    groups.join("-")
}

fn hashed(text: &str, salt: &[u8], lock: Lock) -> Result<[u8; 32], String> {
    let (memory, passes, lanes) = lock.cost;
    let cost = Params::new(memory, passes, lanes, Some(32)).map_err(|e| e.to_string())?;
    let mut key = [0; 32];
    Argon2::new(Algorithm::Argon2id, Version::V0x13, cost)
        .hash_password_into(text.as_bytes(), salt, &mut key)
        .map_err(|e| format!("no key from this passphrase: {e}"))?;
    Ok(key)
}

fn cipher(passphrase: &str, salt: &[u8], lock: Lock) -> Result<ChaCha20Poly1305, String> {
    let key = hashed(passphrase, salt, lock)?;
    Ok(ChaCha20Poly1305::new(Key::from_slice(&key)))
}

/// Whether a passphrase is long enough.
///
/// # Errors
/// It is not.
pub fn strong(passphrase: &str) -> Result<(), String> {
    match passphrase.trim().chars().count() < LEAST {
        true => Err(format!(
            "a passphrase of fewer than {LEAST} letters is soon guessed: take a longer one, or none and one \
             is made"
        )),
        false => Ok(()),
    }
}

/// `secret` under `passphrase` as a line of letters, digits, `-` and `_`; `chance` must never
/// be used twice. It opens only beside the same `bound`, which is no secret.
///
/// # Errors
/// The passphrase is too short, the secret too long, or not enough chance is given.
pub fn seal(
    secret: &str,
    passphrase: &str,
    bound: &str,
    lock: Lock,
    chance: &[u8],
) -> Result<String, String> {
    strong(passphrase)?;
    let length = lock.length;
    if secret.len() > length {
        return Err(format!(
            "what is sealed is written in more than {length} bytes"
        ));
    }
    let (Some(salt), Some(nonce)) = (chance.get(..SALT), chance.get(SALT..CHANCE)) else {
        return Err(format!("a seal needs {CHANCE} bytes of chance"));
    };
    let mut padded = secret.as_bytes().to_vec();
    padded.resize(length, b' ');
    let what = Payload {
        msg: &padded,
        aad: bound.as_bytes(),
    };
    let closed = cipher(passphrase, salt, lock)?
        .encrypt(Nonce::from_slice(nonce), what)
        .map_err(|_| "cannot seal".to_string())?;
    Ok(TEXT.encode([salt, nonce, &closed].concat()))
}

/// What was sealed.
///
/// # Errors
/// The passphrase is another one, the seal is of another lesson or car, or the text was damaged; all look
/// alike.
pub fn open(sealed: &str, passphrase: &str, bound: &str, lock: Lock) -> Result<String, String> {
    let bytes = TEXT.decode(sealed.trim());
    let bytes =
        bytes.map_err(|_| "this is not a sealed fault: some letters are missing or wrong")?;
    if bytes.len() <= CHANCE {
        return Err("this is not a sealed fault: it is too short".into());
    }
    let (salt, rest) = bytes.split_at(SALT);
    let (nonce, closed) = rest.split_at(NONCE);
    let what = Payload {
        msg: closed,
        aad: bound.as_bytes(),
    };
    let opened = cipher(passphrase.trim(), salt, lock)?.decrypt(Nonce::from_slice(nonce), what);
    let opened = opened
        .map_err(|_| "this key does not open it: another key, or of another car or lesson")?;
    let secret = String::from_utf8(opened).map_err(|_| "what was sealed is damaged")?;
    Ok(secret.trim_end().into())
}

#[cfg(test)]
mod tests {
    use super::*;

    const CHANCE_HERE: [u8; CHANCE] = [7; CHANCE];
    const PHRASE_HERE: &str = "correct horse";

    fn sealed(secret: &str, lock: Lock) -> Result<String, String> {
        seal(secret, PHRASE_HERE, "lesson 1", lock, &CHANCE_HERE)
    }

    #[test]
    fn only_its_passphrase_opens_a_seal_and_only_in_its_lesson() -> Result<(), String> {
        let secret = r#"{"leak":[{"place":"cold_pipe","round_hole":{"diameter":"4 mm"}}]}"#;
        for lock in [Lock::TYPED, Lock::MADE, Lock::MADE_LONG] {
            let sealed = sealed(secret, lock)?;
            let opened = |phrase, bound| open(&sealed, phrase, bound, lock);
            assert_eq!(opened(PHRASE_HERE, "lesson 1")?, secret);
            let wrong = opened("Correct horse", "lesson 1");
            assert!(wrong.is_err_and(|e| e.contains("does not open")));
            assert!(opened(PHRASE_HERE, "lesson 2").is_err());
            let mut damaged = sealed.clone();
            damaged.replace_range(80..81, if &sealed[80..81] == "A" { "B" } else { "A" });
            assert!(open(&damaged, PHRASE_HERE, "lesson 1", lock).is_err());
        }
        assert!(open("short", "x", "", Lock::MADE).is_err());
        assert!(open("{}", "x", "", Lock::MADE).is_err());
        Ok(())
    }

    #[test]
    fn a_passphrase_that_is_made_holds_all_its_chance() {
        let all = passphrase(&[0x5a; PHRASE]);
        assert_eq!((all.len(), all.split('-').count()), (19, 4));
        // Every bit of the chance changes it.
        for bit in 0..8 * PHRASE {
            let mut other = [0x5a; PHRASE];
            other[bit / 8] ^= 1 << (bit % 8);
            assert_ne!(passphrase(&other), all, "bit {bit}");
        }
    }

    #[test]
    fn a_receipt_is_of_its_text_alone() -> Result<(), String> {
        let one = receipt("cold pipe, split")?;
        assert_eq!((one.len(), one.split('-').count()), (9, 2));
        assert_eq!(one, receipt("cold pipe, split")?);
        assert_ne!(one, receipt("cold pipe, split ")?);
        Ok(())
    }

    #[test]
    fn a_seal_says_nothing_by_its_length() -> Result<(), String> {
        let [a, b] = ["{}", "a longer secret than that"].map(|s| sealed(s, Lock::TYPED));
        assert_eq!(a?.len(), b?.len());
        assert!(
            seal("{}", "  123456789  ", "", Lock::TYPED, &CHANCE_HERE).is_err()
                && seal("{}", PHRASE_HERE, "", Lock::TYPED, &[0; 3]).is_err()
        );
        Ok(())
    }
}
