//! A fault under a passphrase: nobody reads it from the page's source, nor changes it unseen.
//!
//! Argon2id (RFC 9106; 19 MiB, two passes, the least that OWASP's password storage sheet
//! names) makes the key, ChaCha20-Poly1305 (RFC 8439) seals. Someone who has the passphrase,
//! or reads the memory of a page in which it was typed, reads the fault.

use argon2::{Algorithm, Argon2, Params, Version};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD as TEXT;
use chacha20poly1305::aead::{Aead, KeyInit};
use chacha20poly1305::{ChaCha20Poly1305, Key, Nonce};

/// Bytes of chance that a seal needs.
pub const CHANCE: usize = SALT + NONCE;
const SALT: usize = 16;
const NONCE: usize = 12;
/// Kibibytes, passes, lanes.
const COST: (u32, u32, u32) = (19 * 1024, 2, 1);
/// Every seal is this long inside, so that its length says nothing of the fault.
const LENGTH: usize = 1024;
/// Letters of a passphrase below which it is not taken (own choice): at 28 trials a second, one core, four
/// digits last six minutes, six lower-case letters four months; a word of a dictionary is no better.
const LEAST: usize = 12;
/// Bytes of chance of a passphrase that is made here: 80 bits.
pub const PHRASE: usize = 10;
/// No letter here is taken for another.
const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";

/// A passphrase of chance, in groups of four letters: `k3vx-…`.
pub fn passphrase(chance: &[u8; PHRASE]) -> String {
    let bits = chance
        .iter()
        .fold(0_u128, |bits, byte| bits << 8 | u128::from(*byte));
    let letter = |i: usize| char::from(LETTERS[(bits >> (5 * i)) as usize % LETTERS.len()]);
    let letters: Vec<char> = (0..8 * PHRASE / 5).map(letter).collect();
    let groups: Vec<String> = letters.chunks(4).map(String::from_iter).collect();
    groups.join("-")
}

fn cipher(passphrase: &str, salt: &[u8]) -> Result<ChaCha20Poly1305, String> {
    let (memory, passes, lanes) = COST;
    let cost = Params::new(memory, passes, lanes, Some(32)).map_err(|e| e.to_string())?;
    let mut key = [0; 32];
    Argon2::new(Algorithm::Argon2id, Version::V0x13, cost)
        .hash_password_into(passphrase.as_bytes(), salt, &mut key)
        .map_err(|e| format!("no key from this passphrase: {e}"))?;
    Ok(ChaCha20Poly1305::new(Key::from_slice(&key)))
}

/// `secret` under `passphrase` as a line of letters, digits, `-` and `_`; `chance` must never
/// be used twice.
///
/// # Errors
/// The passphrase is too short, the secret too long, or not enough chance is given.
pub fn seal(secret: &str, passphrase: &str, chance: &[u8]) -> Result<String, String> {
    if passphrase.trim().chars().count() < LEAST {
        return Err(format!(
            "a passphrase of fewer than {LEAST} letters is soon guessed: take a longer one, or none and one \
             is made"
        ));
    }
    if secret.len() > LENGTH {
        return Err(format!("the fault is written in more than {LENGTH} bytes"));
    }
    let (Some(salt), Some(nonce)) = (chance.get(..SALT), chance.get(SALT..CHANCE)) else {
        return Err(format!("a seal needs {CHANCE} bytes of chance"));
    };
    let mut padded = secret.as_bytes().to_vec();
    padded.resize(LENGTH, b' ');
    let closed = cipher(passphrase, salt)?
        .encrypt(Nonce::from_slice(nonce), padded.as_slice())
        .map_err(|_| "cannot seal".to_string())?;
    Ok(TEXT.encode([salt, nonce, &closed].concat()))
}

/// What was sealed.
///
/// # Errors
/// The passphrase is another one, or the text was damaged; both look alike.
pub fn open(sealed: &str, passphrase: &str) -> Result<String, String> {
    let bytes = TEXT.decode(sealed.trim());
    let bytes =
        bytes.map_err(|_| "this is not a sealed fault: some letters are missing or wrong")?;
    if bytes.len() <= CHANCE {
        return Err("this is not a sealed fault: it is too short".into());
    }
    let (salt, rest) = bytes.split_at(SALT);
    let (nonce, closed) = rest.split_at(NONCE);
    let opened = cipher(passphrase, salt)?.decrypt(Nonce::from_slice(nonce), closed);
    let opened = opened.map_err(|_| "this passphrase does not open the fault")?;
    let secret = String::from_utf8(opened).map_err(|_| "the sealed fault is damaged")?;
    Ok(secret.trim_end().into())
}

#[cfg(test)]
mod tests {
    use super::*;

    const CHANCE_HERE: [u8; CHANCE] = [7; CHANCE];

    #[test]
    fn only_its_passphrase_opens_a_seal() -> Result<(), String> {
        let secret = r#"{"leak":[{"place":"cold_pipe","round_hole":{"diameter":"4 mm"}}]}"#;
        let sealed = seal(secret, "correct horse", &CHANCE_HERE)?;
        assert_eq!(open(&sealed, "correct horse")?, secret);
        let wrong = open(&sealed, "Correct horse");
        assert!(wrong.is_err_and(|e| e.contains("does not open")));
        let mut damaged = sealed.clone();
        damaged.replace_range(80..81, if &sealed[80..81] == "A" { "B" } else { "A" });
        assert!(open(&damaged, "correct horse").is_err());
        assert!(open("short", "x").is_err() && open("{}", "x").is_err());
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
    fn a_seal_says_nothing_by_its_length() -> Result<(), String> {
        let lengths =
            ["{}", "a longer secret than that"].map(|s| seal(s, "correct horse", &CHANCE_HERE));
        let [a, b] = lengths;
        assert_eq!(a?.len(), b?.len());
        assert!(
            seal("{}", "  123456789  ", &CHANCE_HERE).is_err()
                && seal("{}", "correct horse", &[0; 3]).is_err()
        );
        Ok(())
    }
}
